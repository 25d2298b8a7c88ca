#!/bin/sh
# make.sh PROGRAM FOLDER [LOOK] makes the README's pictures from the demo: what the
# program draws in a terminal (by tmux, turned into a page by aha) and its pages,
# each as Chromium shows it. The clock stands still and the demo is the same for
# all, so the same program makes the same pictures. With LOOK every state of the screen
# and what plain commands print are drawn in that folder, to be looked at.
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

# printed NAME ARGS... keeps what a plain command prints in three widths, 50 rows a frame.
printed() {
	name=$1
	shift
	for columns in 60 80 120; do
		pane=$work/$name-$columns
		tmux -S "$pane" -f /dev/null new-session -d -x $columns -y 200 "$program $*; sleep 0.2; tmux -S $pane wait -S over; exec sleep 100"
		tmux -S "$pane" wait over
		tmux -S "$pane" capture-pane -p -e | sed -e :a -e '/^\n*$/{$d;N;ba' -e '}' |
			split -l 50 --additional-suffix="-printed-${columns}x50.ansi" - "$work/frames/$name-"
		tmux -S "$pane" kill-server
	done
}

# print_all keeps what plain commands print: of the demo, of a file in which something is
# chosen and a chart was added, of an empty one, and sentences about bad input.
print_all() {
	printed neck demo neck
	printed progress demo progress --since 2026-10-26
	printed gigs demo gig list
	printed gig demo gig show "'Harbour Fair'"
	printed songs demo song list
	printed song demo song show "'Tin Umbrella'"
	printed parts demo part list
	printed shape shape show tenth-6-major --root Bb
	printed key key Ab
	export SUREFRET_DB="$work/kept.db"
	"$program" demo data backup "$SUREFRET_DB" >/dev/null
	printed chosen choose only tenths triads-321
	printed choice choose
	printed pupils pupils "$SUREFRET_DB" "$SUREFRET_DB"
	"$program" song add Shingle --learned C --section 'verse: 1 6- 4 5 1 6- 4 5' --section 'chorus: 4 1 5 1 4 1 5 5' >/dev/null
	printed shown song show Shingle
	unset SUREFRET_DB
	export XDG_DATA_HOME="$work/none"
	for empty in neck progress choose 'song list' 'gig list'; do printed "empty-${empty% *}" "$empty"; done
	printed wrong-song rehearse Nothing
	printed wrong-word choose only thirteenths
	printed wrong-flag practice --strings 9
	printed wrong-key key H9
	printed wrong-gig gig show Nowhere
	printed wrong-device tune --input none
}

# sheets LOOK draws the screens in every state and the pages, as many in a picture as are
# read in it: each size in all colours on a dark and on a light ground, in 16 colours on
# both, and without.
sheets() {
	mkdir -p "$1" "$work/frames"
	look=$(cd "$1" && pwd)
	print_all
	(cd "$here/../.." && SUREFRET_FRAMES="$work/frames" go test ./cmd/surefret/screen -count=1 -run Golden >"$work/log") || { cat "$work/log" >&2 && exit 1; }
	for kind in $(ls "$work/frames" | sed -n 's/.*-\([a-z]*-[0-9]*x[0-9]*\)\.ansi$/\1/p' | sort -u); do
		size=${kind#*-}
		letters=12 # pixels
		[ "${size%x*}" -le 100 ] || letters=8
		wide=$((${size%x*} * letters * 61 / 100 + 16)) high=$(((${size#*x} + 2) * letters * 5 / 4 + 2))
		across=$((1500 / wide)) down=$((1600 / high))
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
"$program" demo gig show 'Harbour Fair' --html "$work/gig-page.html"
show "$folder/gig-page.png" 800 900 # the first sheet of the first song
if [ $# -gt 2 ]; then
	"$program" demo progress --html "$work/progress-page.html"
	show "$3/progress-page.png" 1280 2600
	sheets "$3"
fi
node "$here/shots.mjs" <"$work/list"
