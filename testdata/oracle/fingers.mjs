// Makes fingers.txt.gz: the chords of two general-purpose books of chord diagrams, with
// the fingers that they give them: chords-db (npm, version 0.5.1, MIT) and jtab (npm,
// version 1.3.2, MIT). The fretboard's tests hold our fingers against them. A line is a
// chord: the frets from the lowest string, the fingers of those that sound, 0 for an open
// one, and the book.
//
//   node fingers.mjs | gzip -9n > fingers.txt.gz
//
// SUREFRET_ORACLE names the folder that holds node_modules (default /opt/oracle).
import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'

const modules = (process.env.SUREFRET_ORACLE || '/opt/oracle') + '/node_modules/'
const require = createRequire(modules)

const lines = new Set()
function add(book, frets, fingers) {
  const sounding = fingers.filter((_, i) => frets[i] >= 0)
  if (frets.some((f, i) => f > 0 && !fingers[i])) return // it leaves a finger out
  lines.add(`${frets.map((f) => (f < 0 ? 'x' : f)).join(' ')};${sounding.join(' ')};${book}`)
}

const { chords } = require('@tombatossals/chords-db/lib/guitar.json')
for (const chord of Object.values(chords).flat()) {
  for (const p of chord.positions) {
    add('chords-db', p.frets.map((f) => (f > 0 ? f + p.baseFret - 1 : f)), p.fingers)
  }
}

// jtab wants a browser: its table is read from its source.
const jtab = require.resolve('jtab/javascripts/jtab.js')
for (const [, row] of readFileSync(jtab, 'utf8').matchAll(/^ *"?[A-G][^":\s]*"? *: *(\[ *\[.*\]) *,?$/gm)) {
  for (const [from, ...strings] of JSON.parse(row.replace(/, *('')?\]/g, ', 0]'))) {
    if (strings.length === 6) add('jtab', strings.map(([fret]) => fret), strings.map(([fret, finger]) => (fret > 0 ? finger : 0)))
  }
}
console.log([...lines].sort().join('\n'))
