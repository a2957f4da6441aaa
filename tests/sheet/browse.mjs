// What a browser makes of pages: browse.mjs BROWSER FOLDER FILE...
//
// Each page is opened on a wide screen and on a phone, light and dark, and printed on A4 and on Letter. For each a line: its name and `good`, or
// what is wrong. Seen to are: no message on the console, no request but for the page itself, nothing wider than a phone, no text of a
// picture over another or outside of it, no finding of axe-core (the checker of accessibility), and two printed pages at most
// (but for sheets to fill in, indexes, and pages of endless words).
import fs from 'node:fs';
import path from 'node:path';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';

const require = createRequire(pathToFileURL(process.env.GEARWHY_NODE_MODULES + '/'));
const puppeteer = (await import(pathToFileURL(require.resolve('puppeteer-core')))).default;
const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const [browserPath, pictures, ...files] = process.argv.slice(2);

// Texts of one picture that lie on each other, or stick out of it.
function overlaps() {
  const wrong = [];
  for (const svg of document.querySelectorAll('svg')) {
    const whole = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll('text')].filter((text) => text.textContent.trim() !== '');
    const boxes = texts.map((text) => text.getBoundingClientRect());
    boxes.forEach((a, i) => {
      if (a.left < whole.left - 1 || a.right > whole.right + 1 || a.top < whole.top - 2 || a.bottom > whole.bottom + 2)
        wrong.push(`"${texts[i].textContent}" sticks out`);
      // The box of a line of text is higher than its letters: lines may come near each other.
      for (let j = i + 1; j < boxes.length; ++j) {
        const b = boxes[j];
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (wide > 1 && high > 0.35 * Math.min(a.height, b.height))
          wrong.push(`"${texts[i].textContent}" lies on "${texts[j].textContent}"`);
      }
    });
  }
  return wrong.slice(0, 3);
}

// Pages of a PDF: its page objects, which Chromium leaves readable.
const pagesOf = (pdf) => (Buffer.from(pdf).toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;

async function look(browser, file) {
  const wrong = [];
  const page = await browser.newPage();
  page.on('console', (message) => wrong.push(`console: ${message.text()}`));
  page.on('pageerror', (error) => wrong.push(`error: ${error.message}`));
  const url = pathToFileURL(file).href;
  page.on('request', (request) => {
    if (request.url() !== url) wrong.push(`asks for ${request.url()}`);
  });
  // The page forbids scripts; those of this check are let in.
  await page.setBypassCSP(true);
  for (const [name, width] of [['wide', 1000], ['phone', 390]]) {
    await page.setViewport({ width, height: 900, isMobile: width < 500, hasTouch: width < 500 });
    for (const scheme of ['light', 'dark']) {
      await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
      await page.goto(url);
      const across = await page.evaluate(() => document.documentElement.scrollWidth);
      if (across > width) wrong.push(`${across} wide on a screen of ${width}`);
      for (const one of await page.evaluate(overlaps)) wrong.push(`${name}: ${one}`);
      await page.evaluate(axe);
      const found = await page.evaluate(() => globalThis.axe.run());
      for (const one of found.violations)
        wrong.push(`${name}, ${scheme}: ${one.id}: ${one.nodes[0].html.slice(0, 120)}`);
    }
    if (pictures !== '-')
      await page.screenshot({ path: path.join(pictures, `${path.basename(file, '.html')}-${name}.png`), fullPage: true });
  }
  await page.emulateMediaFeatures([]);
  const may_be_long = path.basename(file).startsWith('hostile-') || await page.evaluate(
    () => document.body.className === 'index' || document.querySelector('td.blank') !== null);
  for (const format of ['a4', 'letter']) {
    const pages = pagesOf(await page.pdf({ format, preferCSSPageSize: true }));
    if (pages < 1) wrong.push(`no page on ${format}`);
    if (!may_be_long && pages > 2) wrong.push(`${pages} pages on ${format}`);
  }
  await page.close();
  return wrong;
}

const browser = await puppeteer.launch({ executablePath: browserPath, args: ['--no-sandbox', '--disable-gpu'] });
let bad = 0;
for (const file of files) {
  const wrong = [...new Set(await look(browser, file))];
  bad += wrong.length > 0 ? 1 : 0;
  console.log(`${path.basename(file)}: ${wrong.length === 0 ? 'good' : wrong.join('\n  ')}`);
}
await browser.close();
process.exit(bad > 0 ? 1 : 0);
