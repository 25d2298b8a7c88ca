// Opens pages in headless Chromium and tells of each what the axe rules (npm axe-core,
// MPL-2.0, WCAG 2.1 A and AA, contrast and heading order among them) say of it in
// light and dark and on paper, which of these the page took it for, how many pages it
// prints on A4 and Letter, whether it asks for anything beyond itself, and whether it
// is wider than a phone.
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

async function look (file) {
  const out = { axe: [], requests: [], pages: {}, phone: 0, looked: [] }
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
