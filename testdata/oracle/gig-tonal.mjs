// Makes gig-tonal.json: what tonal (npm, version 6.4.3, MIT licence) says of
// the chords of the demo's songs in twelve keys: how each is spelled, and its
// notes. The gig tests hold the sheets against it.
//
//   node gig-tonal.mjs > gig-tonal.json
//
// SUREFRET_ORACLE names the folder that holds node_modules (default /opt/oracle).
import { createRequire } from 'node:module'

const require = createRequire((process.env.SUREFRET_ORACLE || '/opt/oracle') + '/node_modules/')
const { Chord, Progression } = require('tonal')

const majors = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
const minors = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B']

// Each song's chords once, in the order in which they come, as roman numerals
// with the chord's own suffix.
const songs = {
  'Tin Umbrella': [majors, 'I V VIm IV'],
  Ropewalk: [majors, 'I IV V IIm VIm'],
  'Low Water Waltz': [minors, 'Im IVm bVI V'],
  'Cockle Row': [majors, 'I VIm IV V'],
  'Salt on the Stairs': [majors, 'I bVII IV'],
  'Ninth Buoy': [majors, 'I IIIm IV V VIm'],
  "Chandler's Daughter": [majors, 'I V IIm IV'],
}

const table = {}
for (const [title, [tonics, numerals]] of Object.entries(songs)) {
  table[title] = {}
  for (const tonic of tonics) {
    const key = tonics === minors ? tonic + 'm' : tonic
    table[title][key] = Progression.fromRomanNumerals(tonic, numerals.split(' '))
      .map((chord) => ({ chord, notes: Chord.get(chord).notes }))
  }
}
console.log(JSON.stringify(table, null, 1))
