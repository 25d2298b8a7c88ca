// Opens pages in headless Chromium and tells of each what the axe rules (npm axe-core,
// MPL-2.0, WCAG 2.1 A and AA, contrast and heading order among them) say of it in
// light and dark and on paper, which of these the page took it for, how many pages it
// prints on A4 and Letter, whether it asks for anything beyond itself, and whether it
// is wider than a phone. Of a page that has a switch for the dark it looks at that as
// well. Of text it tells the smallest size in points, on a phone, two screens and paper;
// of a chart the sizes of its chords, and those that break or run out of their bar.
//
//   node pages.mjs PAGE.html...
//
// SUREFRET_PICTURES names a folder for screenshots and PDFs to look at, SUREFRET_ORACLE
// the one that holds node_modules (default /opt/oracle), and SUREFRET_CHROMIUM the
// browser (default /usr/bin/chromium).
import { createRequire } from 'node:module'
import { basename, resolve } from 'node:path'
import { writeFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'

const require = createRequire((process.env.SUREFRET_ORACLE || '/opt/oracle') + '/node_modules/')
const { chromium } = require('playwright-core')
const axe = require('axe-core')
const folder = process.env.SUREFRET_PICTURES
const screen = { width: 1280, height: 800 }
const paper = { width: 703, height: 1032 } // A4 within margins of 12 mm, at 96 pixels an inch

const browser = await chromium.launch({
  executablePath: process.env.SUREFRET_CHROMIUM || '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
})

// letters measures the text of the page as it is laid out.
function letters () {
  const seen = { least: 99, small: '', chords: [], spilt: [] }
  const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (words.nextNode()) {
    const of = words.currentNode.parentElement
    if (!words.currentNode.data.trim() || !of.checkVisibility() || of.closest('style')) continue
    const svg = of.closest('svg')
    const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1
    const points = parseFloat(getComputedStyle(of).fontSize) * scale * 0.75
    if (points < seen.least) [seen.least, seen.small] = [points, words.currentNode.data.trim().slice(0, 40)]
  }
  for (const chord of document.querySelectorAll('.chord')) {
    const name = chord.querySelector('b')
    const size = parseFloat(getComputedStyle(name).fontSize)
    seen.chords.push(size * 0.75)
    const bar = chord.closest('li').getBoundingClientRect()
    const range = document.createRange()
    range.selectNodeContents(name)
    const ink = range.getBoundingClientRect()
    if (ink.height > 1.9 * size || ink.right > bar.right + 1) seen.spilt.push(name.textContent)
  }
  return seen
}

async function look (file) {
  const out = { axe: [], requests: [], pages: {}, phone: 0, looked: [], least: 99, chords: [99, 0], spilt: [] }
  const page = await browser.newPage()
  page.on('request', (r) => out.requests.push(r.url().replace(/.*\//, '')))
  await page.goto(pathToFileURL(resolve(file)).href)
  for (const [name, media, colorScheme, size] of [['light', 'screen', 'light', screen], ['dark', 'screen', 'dark', screen], ['print', 'print', 'dark', paper]]) {
    await page.setViewportSize(size)
    await page.emulateMedia({ media, colorScheme })
    // What the page itself takes it for, so that no pass runs under another's rules.
    out.looked.push(await page.evaluate(() => matchMedia('print').matches ? 'print' : matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light'))
    if (folder) await page.screenshot({ path: `${folder}/${basename(file, '.html')}-${name}.png`, fullPage: name === 'print' })
    await page.evaluate(axe.source)
    const found = await page.evaluate(() => globalThis.axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice'] }))
    for (const v of found.violations) out.axe.push(`${name}: ${v.id}: ${v.nodes[0].html.slice(0, 120)}`)
    out.checked = (out.checked || 0) + found.passes.filter((p) => ['color-contrast', 'heading-order'].includes(p.id)).length
  }
  for (const [media, width] of [['print', 703], ['screen', 1280], ['screen', 820], ['screen', 360]]) {
    await page.emulateMedia({ media, colorScheme: 'light' })
    await page.setViewportSize({ width, height: 900 })
    const seen = await page.evaluate(letters)
    if (seen.least < out.least) [out.least, out.small] = [seen.least, `${width}: ${seen.small}`]
    out.chords = [Math.min(out.chords[0], ...seen.chords), Math.max(out.chords[1], ...seen.chords)]
    out.spilt.push(...seen.spilt.map((name) => `${width}: ${name}`))
    if (folder && media === 'screen') await page.screenshot({ path: `${folder}/${basename(file, '.html')}-${width}.png`, fullPage: true })
  }
  const other = await page.$('#other')
  if (other) {
    await other.check()
    out.ground = await page.evaluate(() => getComputedStyle(document.body).backgroundColor)
    await page.evaluate(axe.source)
    const found = await page.evaluate(() => globalThis.axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'best-practice'] }))
    for (const v of found.violations) out.axe.push(`switched: ${v.id}: ${v.nodes[0].html.slice(0, 120)}`)
    await other.uncheck()
  }
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' })
  for (const format of ['A4', 'Letter']) {
    const pdf = await page.pdf({ format, preferCSSPageSize: false })
    out.pages[format] = (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) || []).length
    if (folder) writeFileSync(`${folder}/${basename(file, '.html')}-${format}.pdf`, pdf)
  }
  await page.emulateMedia({ media: 'screen', colorScheme: 'light' })
  await page.setViewportSize({ width: 360, height: 640 })
  out.phone = await page.evaluate(() => document.documentElement.scrollWidth)
  if (folder) await page.screenshot({ path: `${folder}/${basename(file, '.html')}-phone.png` })
  await page.close()
  return out
}

const all = []
for (const file of process.argv.slice(2)) all.push(await look(file))
await browser.close()
console.log(JSON.stringify(all))
