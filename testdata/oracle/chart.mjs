// Makes chart.json.gz: charts, and what two general-purpose libraries make of them.
// chordsheetjs (npm, version 15.5.2, GPL-2.0) reads each chart and moves it to twelve
// keys; chord-symbol (npm, version 4.0.0, MIT) says what each chord contains. The
// chart tests hold ours against it.
//
//   node chart.mjs | gzip -9n > chart.json.gz
//
// SUREFRET_ORACLE names the folder that holds node_modules (default /opt/oracle).
import { createRequire } from 'node:module'

const require = createRequire((process.env.SUREFRET_ORACLE || '/opt/oracle') + '/node_modules/')
const { ChordProParser, ChordsOverWordsParser, Chord } = require('chordsheetjs')
const { chordParserFactory } = require('chord-symbol/lib/chord-symbol.js')

// The same charts every time.
let state = 24
function random(n) {
  state = (state * 1103515245 + 12345) % 2147483648
  return Math.floor(state / 65536) % n
}
const pick = (list) => list[random(list.length)]

const majors = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
const minors = ['Cm', 'C#m', 'Dm', 'Ebm', 'Em', 'Fm', 'F#m', 'Gm', 'G#m', 'Am', 'Bbm', 'Bm']

// The chords of a key, by the scale, and some from outside it.
const scales = {
  C: ['C', 'Dm', 'Em', 'F', 'G', 'Am', 'Bdim', 'Bb', 'E7', 'D7', 'Eb', 'Ab', 'Fm', 'G/B', 'C/E', 'F/G', 'Am/G', 'D/F#'],
  G: ['G', 'Am', 'Bm', 'C', 'D', 'Em', 'F#dim', 'F', 'B7', 'A7', 'Bb', 'Cm', 'D/F#', 'G/B', 'C/D', 'Em/D'],
  A: ['A', 'Bm', 'C#m', 'D', 'E', 'F#m', 'G', 'C#7', 'B7', 'Dm', 'E/G#', 'A/C#', 'D/E'],
  Eb: ['Eb', 'Fm', 'Gm', 'Ab', 'Bb', 'Cm', 'Db', 'G7', 'F7', 'Bb/D', 'Eb/G', 'Ab/Bb', 'Gb'],
  Am: ['Am', 'Bdim', 'C', 'Dm', 'Em', 'F', 'G', 'E', 'E7', 'G#dim', 'D', 'Am/G', 'E/G#', 'F/A'],
  Em: ['Em', 'F#dim', 'G', 'Am', 'Bm', 'C', 'D', 'B', 'B7', 'D#dim', 'A', 'Em/D', 'B/D#'],
  Cm: ['Cm', 'Ddim', 'Eb', 'Fm', 'Gm', 'Ab', 'Bb', 'G', 'G7', 'F', 'Cm/Bb', 'G/B', 'Db'],
}
const suffixes = ['7', 'maj7', 'm7', '6', 'm6', '9', 'm9', 'maj9', 'add9', 'sus4', 'sus2', '7sus4', '4', '2', 'dim', 'dim7', 'aug', '+', 'm7b5',
  '7b9', '7#9', '13', '11', 'MIN7', '-', '-7', 'Δ', '69', '5', 'mMaj7', '7#9b13', 'M7', 'min7', 'sus', '7(b9)', '7(13)', 'maj13', 'm11']
// What one of them or both do not read.
const awkward = ['N.C.', 'C7/13', 'Cm7/11', 'C°', 'Cø', 'C6/9', 'C^7', '(G)', 'B♭', 'F♯m']
const syllables = ['Tin ', 'um', 'brel', 'la, ', 'salt', 'on the ', 'stairs ', 'and ', 'low ', 'wa', 'ter ', 'be', 'low ', 'the ', 'quay', '; ', "chan", "dler's ", 'daugh', 'ter ', 'é', 'té ', '']
const titles = ['Tin Umbrella', 'Ropewalk', 'Low Water Waltz', 'Cockle Row', 'Salt on the Stairs', 'Ninth Buoy', "Chandler's Daughter"]

function anyChord(key) {
  if (random(30) === 0) return pick(awkward)
  const chord = pick(scales[key])
  if (random(3) > 0 || chord.includes('/')) return chord
  return chord.match(/^[A-G][#b]?/)[0] + pick(suffixes)
}

function words() {
  let s = ''
  for (let i = random(5); i >= 0; i--) s += pick(syllables)
  return s
}

function chordPro(key) {
  const lines = [`{${pick(['title', 't'])}: ${pick(titles)}}`, `{key: ${key}}`]
  if (random(3) === 0) lines.push('{time: 3/4}', '{tempo: 96}', '{x_lamp: green}')
  for (let i = 1 + random(3); i > 0; i--) {
    const kind = pick(['verse', 'chorus', 'bridge', 'plain', 'grid'])
    if (kind === 'grid') {
      lines.push('{start_of_grid}')
      for (let j = 1 + random(2); j > 0; j--) {
        let row = pick(['|', '||', '|:'])
        for (let bar = 0; bar < 4; bar++) row += ` ${pick(scales[key])} ${pick(['. . .', '. ' + pick(scales[key]) + ' .'])} ${bar < 3 ? '|' : pick(['|', '||', ':|', '|.'])}`
        lines.push(row)
      }
      lines.push('{end_of_grid}')
      continue
    }
    if (kind !== 'plain') lines.push(pick([`{start_of_${kind}}`, `{start_of_${kind}: ${kind} ${i}}`]))
    for (let j = 1 + random(4); j > 0; j--) {
      let line = random(2) ? words() : ''
      for (let c = 1 + random(4); c > 0; c--) line += `[${anyChord(key)}]` + words()
      lines.push(line)
    }
    if (kind !== 'plain') lines.push(`{end_of_${kind}}`)
    if (random(3) === 0) lines.push(pick(['{c: softly}', '', '# a remark', '{chorus}']))
  }
  return lines.join('\n') + '\n'
}

function overWords(key) {
  const lines = [`title: ${pick(titles)}`, `key: ${key}`, '']
  for (let i = 1 + random(3); i > 0; i--) {
    lines.push(pick(['Verse 1', 'Chorus', 'Bridge', 'Verse 2']))
    for (let j = 1 + random(3); j > 0; j--) {
      let row = ' '.repeat(random(4))
      for (let c = 1 + random(4); c > 0; c--) row += anyChord(key) + ' '.repeat(1 + random(7))
      let text = ''
      while (text.length < row.trimEnd().length + 2) text += words()
      lines.push(row.trimEnd(), text.trim().padEnd(row.length, '.'))
    }
    lines.push('')
  }
  return lines.join('\n') + '\n'
}

// What stands in the lines of a song: each chord with the words before the next, and
// of a grid its chords alone.
function lines(song) {
  const found = []
  for (const line of song.lines) {
    const items = []
    for (const item of line.items) {
      if (item.chords !== undefined) items.push([item.chords, item.lyrics || ''])
      else if (item.string !== undefined) for (const m of item.string.matchAll(/[A-G][^\s|]*/g)) items.push([m[0], ''])
    }
    if (items.some(([chord]) => chord)) found.push(items)
  }
  return found
}

const charts = []
for (let i = 0; i < 320; i++) {
  const key = pick(Object.keys(scales))
  const pro = i % 2 === 0
  const text = pro ? chordPro(key) : overWords(key)
  const song = (pro ? new ChordProParser() : new ChordsOverWordsParser()).parse(text)
  const moved = {}
  for (const to of key.endsWith('m') ? minors : majors) {
    moved[to] = lines(song.changeKey(to)).map((items) => items.map(([chord]) => chord).filter(Boolean).join(' ')).join('\n')
  }
  charts.push({ name: pro ? 'x.cho' : 'x.txt', key, text, lines: lines(song), moved })
}

const chords = {}
const parse = chordParserFactory()
for (const suffix of ['', 'm', ...suffixes, '7/13', 'm7/11', '°', 'ø', '6/9', '^7']) {
  const chord = parse('C' + suffix)
  chords['C' + suffix] = chord.error ? [] : chord.normalized.intervals
}
console.log(JSON.stringify({ charts, chords, unread: awkward.filter((c) => !Chord.parse(c)) }))
