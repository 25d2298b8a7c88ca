// Random histories through ts-fsrs 5.4.2, an independent implementation of
// version 6.0 of the published memory model. Prints JSON:
//   [{"w": 21 weights or absent for the defaults, "steps": [[days, grade, S, D], ...]}, ...]
// Usage: node memory.mjs COUNT SEED SHARE > memory.json
// SHARE of the histories, 0 to 1, have random weights of their own.
// The library is found under SUREFRET_ORACLE, default /opt/oracle.
import { createRequire } from 'node:module'
const require = createRequire((process.env.SUREFRET_ORACLE ?? '/opt/oracle') + '/')
const { fsrs, createEmptyCard, default_w, CLAMP_PARAMETERS } = require('ts-fsrs')

const [count, seed, share] = process.argv.slice(2).map(Number)

// mulberry32: small, public domain, the same numbers on every machine.
let state = seed >>> 0
function random() {
  state = (state + 0x6d2b79f5) >>> 0
  let t = state
  t = Math.imul(t ^ (t >>> 15), t | 1)
  t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296
}
const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
const pick = (xs) => xs[Math.floor(random() * xs.length)]

// Half near the defaults, half anywhere within the published bounds. First
// stabilities start at 0.1, the least this library gives.
function weights() {
  const near = random() < 0.5
  return CLAMP_PARAMETERS(2).map(([low, high], i) => {
    const x = near ? default_w[i] * Math.exp(0.4 * normal()) : low + (high - low) * random()
    return Number(Math.min(Math.max(x, low, i < 4 ? 0.1 : 0), high).toFixed(4))
  })
}

const out = []
for (let n = 0; n < count; n++) {
  const w = random() < share ? weights() : undefined
  const f = fsrs(w ? { w } : {})
  let card = createEmptyCard(new Date(Date.UTC(2020, 0, 1, 12)))
  let day = 0
  const steps = []
  for (let k = 2 + Math.floor(random() * 9); k > 0; k--) {
    const days = steps.length ? pick([0, 0, 1, 1, 2, 3, 5, 8, 13, 30, 90, Math.floor(random() * 400)]) : 0
    const grade = pick([1, 2, 3, 3, 3, 4])
    day += days
    card = f.next(card, new Date(Date.UTC(2020, 0, 1 + day, 12, steps.length)), grade).card
    steps.push([days, grade, card.stability, card.difficulty])
  }
  out.push(w ? { w, steps } : { steps })
}
console.log('[' + out.map((h) => JSON.stringify(h)).join(',\n') + ']')
