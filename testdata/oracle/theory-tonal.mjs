// Makes theory-tonal.json: what tonal (npm, version 6.4.3, MIT licence) says
// about intervals, scales, keys and numerals. The theory tests hold our own
// answers against it.
//
//   node theory-tonal.mjs > theory-tonal.json
//
// SUREFRET_ORACLE names the folder that holds node_modules (default /opt/oracle).
import { createRequire } from 'node:module'

const require = createRequire((process.env.SUREFRET_ORACLE || '/opt/oracle') + '/node_modules/')
const { Note, Interval, Scale, Key, Chord, Progression } = require('tonal')

const notes = []
for (const letter of 'CDEFGAB') for (const alter of ['bb', 'b', '', '#', '##']) notes.push(letter + alter)

// Every interval up to the fifteenth, doubly augmented and diminished included.
const intervals = []
for (let n = 1; n <= 15; n++) {
  const perfect = [1, 4, 5].includes(((n - 1) % 7) + 1)
  const qualities = n === 1 ? ['P', 'A', 'AA'] : perfect ? ['dd', 'd', 'P', 'A', 'AA'] : ['dd', 'd', 'm', 'M', 'A', 'AA']
  for (const q of qualities) intervals.push(n + q)
}

const transposed = (sign) =>
  Object.fromEntries(notes.map((n) => [n, intervals.map((iv) => Note.transpose(n + '4', sign + iv)).join(' ')]))

const majors = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#']
const minors = ['Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'G#', 'D#', 'A#']
const spelled = (names) => names.map((name) => ({ name, notes: Chord.get(name).notes }))
const inKey = (key, mode, k) => ({ key, mode, triads: spelled(k.triads) })
const keys = []
const signatures = {}
for (const t of majors) {
  const k = Key.majorKey(t)
  keys.push(inKey(t, 'major', k))
  signatures[t + ' major'] = { alteration: k.alteration, relative: k.minorRelative }
}
for (const t of minors) {
  const k = Key.minorKey(t)
  keys.push(inKey(t, 'minor', k.natural), inKey(t, 'harmonic minor', k.harmonic), inKey(t, 'melodic minor', k.melodic))
  signatures[t + ' minor'] = { alteration: k.alteration, relative: k.relativeMajor }
}

const scales = {}
for (const mode of ['major', 'minor', 'harmonic minor', 'melodic minor', 'dorian', 'phrygian', 'lydian', 'mixolydian',
  'locrian', 'major pentatonic', 'minor pentatonic', 'major blues', 'minor blues', 'ionian', 'aeolian']) {
  scales[mode] = Object.fromEntries(notes.map((t) => [t, Scale.get(t + ' ' + mode).notes.join(' ')]))
}

const progression = ['Imaj7', 'IIm7', 'bII', 'IIIm', 'bIII', 'IV', '#IVm7b5', 'V7', 'Vsus4', 'VIm', 'bVI', 'bVII7', 'VIIo', 'IVm6']
const progressions = Object.fromEntries(majors.map((t) => [t, Progression.fromRomanNumerals(t, progression)]))

console.log(JSON.stringify({
  source: 'tonal 6.4.3',
  notes, intervals,
  semitones: intervals.map((iv) => Interval.semitones(iv)),
  up: transposed(''),
  down: transposed('-'),
  keys, signatures, scales, progression, progressions,
}, null, 0).replaceAll(/,"(?=[A-G][b#]*\d?":)/g, ',\n"'))
