#!/bin/sh
# make.sh PROGRAM FOLDER makes the README's pictures from the demo: what the
# program draws in a terminal (by tmux, turned into a page by aha) and its pages,
# each as Chromium shows it. The clock stands still and the demo is the same for
# all, so the same program makes the same pictures.
set -eu
program=$1 folder=$(cd "$2" && pwd)
for tool in tmux aha chromium; do
	command -v $tool >/dev/null || { echo "the pictures need $tool: install it, then run this again" >&2 && exit 1; }
done
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export SUREFRET_CLOCK=2026-11-25T18:00:00Z TZ=UTC LC_ALL=C.UTF-8 TERM=xterm-256color TMPDIR="$work"

# show NAME WIDTH HEIGHT takes the picture of the page NAME.html, in pixels.
show() {
	chromium --headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking \
		--disable-component-update --disable-sync --hide-scrollbars --user-data-dir="$work/browser" \
		--window-size="$2,$3" --screenshot="$folder/$1.png" "file://$work/$1.html" >"$work/log" 2>&1 || { cat "$work/log" >&2 && exit 1; }
}

# shot NAME COLUMNS ROWS WORDS ARGS... runs the program in a terminal until the
# screen stands still and has the words on it.
shot() {
	name=$1 columns=$2 rows=$3 words=$4
	shift 4
	tmux -S "$work/$name" -f /dev/null new-session -d -x "$columns" -y "$rows" "$program $* 2>/dev/null; exec sleep 100"
	before=
	for _ in $(seq 300); do
		sleep 0.2
		now=$(tmux -S "$work/$name" capture-pane -p -e)
		if [ "$now" = "$before" ] && tmux -S "$work/$name" capture-pane -p | grep -q "$words"; then
			tmux -S "$work/$name" kill-server
			printf '%s\n' "$now" | aha --black --title "surefret $*" |
				sed 's/<pre>/<pre style="margin:14px;font:14px\/18px DejaVu Sans Mono,monospace">/' >"$work/$name.html"
			show "$name" $((columns * 43 / 5 + 28)) $((rows * 18 + 28))
			return
		fi
		before=$now
	done
	echo "the screen of $name never showed '$words'" >&2 && exit 1
}

# The screens in every state, to be looked at: a picture for each size and number of
# colours, on a dark and on a light ground, in the folder LOOK where it is given.
sheets() {
	mkdir -p "$1" "$work/frames"
	(cd "$(dirname "$0")/../.." && SUREFRET_FRAMES="$work/frames" go test ./cmd/surefret/screen -count=1 -run Golden >"$work/log") || { cat "$work/log" >&2 && exit 1; }
	kept=$folder folder=$(cd "$1" && pwd)
	for frame in "$work"/frames/*-[mfnc]*-*x*.ansi; do basename "$frame" .ansi | sed 's/.*-\([a-z]*-[0-9]*x[0-9]*\)$/\1/'; done | sort -u | while read -r kind; do
		for ground in black white; do
			{
				echo "<body style=\"background:$ground;color:gray;font:14px sans-serif\">"
				for frame in "$work"/frames/*-"$kind".ansi; do
					echo "<p>$(basename "$frame" .ansi)</p>"
					aha $([ $ground = black ] && echo --black) --no-header <"$frame" | sed '1s/^/<pre style="font:14px\/18px DejaVu Sans Mono,monospace;color:'$([ $ground = black ] && echo white || echo black)'">/;$s/$/<\/pre>/'
				done
			} >"$work/$kind-$ground.html"
			size=${kind#*-}
			show "$kind-$ground" $((${size%x*} * 9 + 40)) $((22 * (${size#*x} * 18 + 70)))
		done
	done
	folder=$kept
}
if [ $# -gt 2 ]; then sheets "$3"; fi

shot practice 100 26 'Esc stop' demo practice --mute --seed 4 --strings 6,5 --drill note
shot neck 90 49 Weakest demo neck
shot progress 90 112 Weakest demo progress --since 2026-10-26
"$program" demo progress --html "$work/progress-page.html"
show progress-page 1280 1300
"$program" demo gig show 'Harbour Fair' --html "$work/gig-page.html"
show gig-page 800 1130
