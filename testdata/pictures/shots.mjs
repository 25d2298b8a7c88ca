// Takes pictures of pages in one run of headless Chromium, since starting it takes longer
// than a picture. Each line of standard input has the width and the height in pixels, the
// page and the file of its picture.
//
//   node shots.mjs <LIST
//
// SUREFRET_ORACLE names the folder that holds node_modules (default /opt/oracle).
import { createRequire } from 'node:module'
import { readFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'

const require = createRequire((process.env.SUREFRET_ORACLE || '/opt/oracle') + '/node_modules/')
const { chromium } = require('playwright-core')

const browser = await chromium.launch({
  executablePath: process.env.SUREFRET_CHROMIUM || '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
})
const page = await browser.newPage()
page.setDefaultTimeout(0) // a busy machine is no fault
for (const line of readFileSync(0, 'utf8').trim().split('\n')) {
  const [width, height, file, path] = line.split(' ')
  await page.setViewportSize({ width: Number(width), height: Number(height) })
  await page.goto(pathToFileURL(file).href)
  await page.screenshot({ path })
}
await browser.close()
