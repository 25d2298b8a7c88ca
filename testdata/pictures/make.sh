#!/bin/sh
# make.sh PROGRAM FOLDER [LOOK] makes the README's pictures from the demo: what the
# program draws in a terminal (by tmux, turned into a page by aha) and its pages,
# each as Chromium shows it. The clock stands still and the demo is the same for
# all, so the same program makes the same pictures. With LOOK every state of the screen
# is drawn in that folder, to be looked at.
set -eu
program=$1 folder=$(cd "$2" && pwd) here=$(cd "$(dirname "$0")" && pwd)
for tool in tmux aha chromium node; do
	command -v $tool >/dev/null || { echo "the pictures need $tool: install it, then run this again" >&2 && exit 1; }
done
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export SUREFRET_CLOCK=2026-11-25T18:00:00Z TZ=UTC LC_ALL=C.UTF-8 TERM=xterm-256color TMPDIR="$work"

# show PICTURE WIDTH HEIGHT takes the picture of the page $work/NAME.html into PICTURE,
# which ends in NAME.png, in pixels, with the others at the end.
show() { echo "$2 $3 $work/$(basename "$1" .png).html $1" >>"$work/list"; }

# shot NAME COLUMNS ROWS WORDS ARGS... runs the program in a terminal until the
# screen stands still and has the words on it.
shot() {
	name=$1 columns=$2 rows=$3 words=$4
	shift 4
	tmux -S "$work/$name" -f /dev/null new-session -d -x "$columns" -y "$rows" "$program $* 2>/dev/null; exec sleep 100"
	before=none
	for _ in $(seq 300); do
		sleep 0.2
		now=$(tmux -S "$work/$name" capture-pane -p -e)
		if [ "$now" = "$before" ]; then
			tmux -S "$work/$name" kill-server
			printf '%s\n' "$now" | aha --black --title "surefret $*" |
				sed 's/<pre>/<pre style="margin:14px;font:14px\/18px DejaVu Sans Mono,monospace">/' >"$work/$name.html"
			show "$folder/$name.png" $((columns * 43 / 5 + 28)) $((rows * 18 + 28))
			return
		fi
		before=none # a blank one is none to compare with
		if tmux -S "$work/$name" capture-pane -p | grep -q "$words"; then before=$now; fi
	done
	echo "the screen of $name never showed '$words'" >&2 && exit 1
}

# sheets LOOK draws the screens in every state, as many in a picture as are read in it: each
# size in all colours on a dark and on a light ground, in 16 colours on both, and without.
sheets() {
	mkdir -p "$1" "$work/frames"
	look=$(cd "$1" && pwd)
	(cd "$here/../.." && SUREFRET_FRAMES="$work/frames" go test ./cmd/surefret/screen -count=1 -run Golden >"$work/log") || { cat "$work/log" >&2 && exit 1; }
	for kind in $(ls "$work/frames" | sed -n 's/.*-\([a-z]*-[0-9]*x[0-9]*\)\.ansi$/\1/p' | sort -u); do
		size=${kind#*-}
		letters=12 # pixels
		[ "${size%x*}" -le 100 ] || letters=8
		wide=$((${size%x*} * letters * 61 / 100 + 16)) high=$(((${size#*x} + 2) * letters * 5 / 4 + 2))
		across=$((1500 / wide)) down=$((1560 / high))
		number=0
		ls "$work/frames" | grep -e "-$kind.ansi$" | xargs -n $((across * down)) | while read -r frames; do
			number=$((number + 1))
			for ground in black white; do
				case $ground-$kind in white-none* | white-contrast*) continue ;; esac
				# shellcheck disable=SC2086
				sheet "$ground" $frames >"$work/$kind-$ground-$number.html"
				show "$look/$kind-$ground-$number.png" $((across * wide + 16)) $((down * high + 16))
			done
		done
	done
}

# sheet GROUND FRAMES... is a page of frames. A bright ground, which aha does not know, is
# one of the 256 colours here.
sheet() {
	ground=$1 ink=white dark=--black
	[ "$ground" = black ] || ink=black dark=
	shift
	echo "<!DOCTYPE html><body style=\"background:$ground;color:gray;margin:8px;font:${letters}px/1.25 DejaVu Sans Mono,monospace\">"
	for frame; do
		echo "<div style=\"float:left;width:${wide}px;height:${high}px\">${frame%.ansi}<pre style=\"font:inherit;color:$ink;margin:4px 0\">"
		sed 's/30;103m/38;5;16;48;5;226m/g;s/30;106m/38;5;16;48;5;51m/g' "$work/frames/$frame" | aha $dark --no-header
		echo '</pre></div>'
	done
}

shot practice 100 26 'Esc stop' demo practice --mute --seed 4 --strings 6,5 --drill note
shot neck 90 49 Weakest demo neck
shot progress 90 112 Weakest demo progress --since 2026-10-26
"$program" demo progress --html "$work/progress-page.html"
show "$folder/progress-page.png" 1280 1300
"$program" demo gig show 'Harbour Fair' --html "$work/gig-page.html"
show "$folder/gig-page.png" 800 900 # the first sheet of the first song
if [ $# -gt 2 ]; then sheets "$3"; fi
node "$here/shots.mjs" <"$work/list"
