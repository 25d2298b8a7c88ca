#!/bin/sh
# Makes format2.db and format2.jsonl: a practice file of format 2 and its export,
# as the last program of that format (commit 09ec9c5) wrote them. Never make them
# anew without need: they stand for the files that players have.
#
#     format2.sh SUREFRET     the program of that commit
set -eu
old=$1
here=$(cd "$(dirname "$0")" && pwd)
cd "$(mktemp -d)"
export TZ=UTC SUREFRET_CLOCK=2026-11-25T18:00:00Z SUREFRET_DB=$PWD/format2.db
yes '' | head -40 | "$old" setup --line >/dev/null
printf 'E\n0\nA\nback\nA\n0\nG\n0\n' | "$old" practice --line --seed 1 --mute >/dev/null
"$old" gig add 'Harbour Fair' --day 2026-12-05
printf 'e|-----|\nB|-----|\nG|-----|\nD|-5-7-|\nA|-----|\nE|-----|\n' >tin.tab
"$old" gig song 'Harbour Fair' 'Tin Umbrella' --learned D --called Bb --chords '1 5 6- 4' --part tin.tab
"$old" gig song 'Harbour Fair' 'Ropewalk' --learned G --chords '1 4 5'
"$old" gig edit 'Harbour Fair' --note 'by the fish market'
# What a key of the practice screen and a placing keep.
cat >kept.jsonl <<'END'
{"kind":"surefret","format":1}
{"kind":"setting","id":"k1","device":"d","at":"2026-11-25T18:00:00.000Z","key":"skipped/note/E2+1/find","value":true}
{"kind":"setting","id":"k2","device":"d","at":"2026-11-25T18:00:00.000Z","key":"skipped/note/E2+3/find","value":false}
{"kind":"setting","id":"k3","device":"d","at":"2026-11-25T18:00:00.000Z","key":"placed/note/A2+3/name","value":20782}
{"kind":"end","rows":3}
END
"$old" data import kept.jsonl
"$old" data export format2.jsonl
# Another computer's file, wherever it is used.
sqlite3 format2.db "UPDATE here SET value = 'elsewhere' WHERE key = 'machine'; PRAGMA wal_checkpoint(TRUNCATE)"
rm -f "$here/format2.db"
cp format2.db format2.jsonl "$here/"
