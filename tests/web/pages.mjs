// pages.mjs - the pages in a real browser: a phone without scripts, a keyboard, the dark, axe.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// usage: node pages.mjs BUILD-FOLDER [FOLDER-FOR-SCREENSHOTS]
import { spawn } from 'node:child_process';
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

const [build, shots] = process.argv.slice(2);
const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
let passed = 0, failed = 0;

function check(good, name, why = '') {
  if (good) passed++;
  else { failed++; console.log('FAILED:', name, why); }
}

const server = spawn(build + '/beltwright', ['serve', '--port', '0', '--folder', 'examples']);
const home = await new Promise((resolve) => {
  let said = '';
  server.stdout.on('data', (data) => {
    said += data;
    const found = said.match(/http:\/\/127\.0\.0\.1:\d+\//);
    if (found) resolve(found[0]);
  });
});
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-dev-shm-usage'],
});
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };
if (shots) mkdirSync(shots, { recursive: true });

// A page in a context of its own; every request to another place is a failure.
async function open(options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  page.on('request', (request) => {
    if (!request.url().startsWith(home) && !request.url().startsWith('data:'))
      check(false, 'a request left the machine', request.url());
  });
  page.on('pageerror', (error) => check(false, 'an error on the page', error));
  return page;
}

async function shot(page, name) {
  if (shots) await page.screenshot({ path: `${shots}/${name}.png`, fullPage: true });
}

// It comes into view; an answer takes a moment.
async function shows(page, selector) {
  return page.waitForSelector(selector, { timeout: 20000 }).then(() => true, () => false);
}

// Nothing sticks out sideways; what a finger is meant for is large enough.
async function fits(page, name) {
  const wide = await page.evaluate(() => document.scrollingElement.scrollWidth);
  check(wide <= 360, `${name} fits a phone`, wide);
  const small = await page.evaluate(() => [...document.querySelectorAll(
    'main button:not(.unseen), main input:not([type=hidden]), main select, main textarea, main summary, .choices a')]
    .filter((element) => element.checkVisibility() && element.getBoundingClientRect().height < 47.5)
    .map((element) => element.outerHTML.slice(0, 80)));
  check(small.length === 0, `${name}: targets of 48 px`, small.join(' '));
}

async function sound(page, name) {
  await page.evaluate(axeSource);
  const result = await page.evaluate(() => window.axe.run(document, {
    runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
  }));
  const serious = result.violations.filter((one) => ['serious', 'critical'].includes(one.impact));
  check(serious.length === 0, `${name} is accessible`,
    serious.map((one) => `${one.id}: ${one.nodes[0].html}`).join('\n'));
}

// --- a phone, scripts off: from the first page to an answer, and back to change something

const studies = await (await fetch(home + 'api/studies')).json();
const phone = await open({ ...PHONE, javaScriptEnabled: false });
await phone.goto(home);
await fits(phone, 'the first page');
await shot(phone, 'home');
for (const study of studies) {
  await phone.goto(home + 'study/' + study.name);
  await fits(phone, study.name);
  await shot(phone, 'form-' + study.name);
}
await phone.goto(home);
await phone.tap('a[href="/study/rates"]');
await phone.selectOption('[name="machine.kept"]', 'three-head.yaml');
await phone.fill('[name="feed"]', '24 ft/min');
await phone.selectOption('[name="feed.by"]', 'display');
await phone.tap('button.go');
check((await phone.textContent('.answer')).includes('belt splice'), 'a phone is answered');
await fits(phone, 'the answer');
await shot(phone, 'answer-rates');
check(await phone.inputValue('[name="feed"]') === '24 ft/min', 'what was sent stands in the form');
await phone.tap('header button');
check((await phone.textContent('header button')).includes('Show m and mm'), 'units are changed');
await phone.goto(home + 'study/source');
await phone.selectOption('[name="machine.kept"]', 'three-head.yaml');
await phone.fill('[name="marks.0.pitch"]', '14.6 mm');
await phone.tap('button[name="more"]');
check(await phone.inputValue('[name="marks.0.pitch"]') === '14.6 mm', 'one more item loses nothing');
await phone.fill('[name="marks.0.feed"]', '24 cabbages');
await phone.tap('button.go');
check(await shows(phone, '.trouble'), 'a wrong value is told');
check(await phone.getAttribute('[aria-invalid]', 'name') === 'marks.0.feed', 'at its control');
await shot(phone, 'fault-source');
await phone.fill('[name="marks.0.feed"]', '24 ft/min');
await phone.tap('button.go');
check(await shows(phone, 'figure svg'), 'a plot is drawn');
await fits(phone, 'the answer of source');
await shot(phone, 'answer-source');

// --- axe, light and dark

for (const colorScheme of ['light', 'dark']) {
  const page = await open({ ...PHONE, colorScheme, bypassCSP: true });
  await page.goto(home);
  await sound(page, `the first page, ${colorScheme}`);
  for (const study of studies) {
    await page.goto(home + 'study/' + study.name);
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
    await sound(page, `${study.name}, ${colorScheme}`);
  }
  await page.goto(home + 'study/source');
  await page.selectOption('[name="machine.kept"]', 'three-head.yaml');
  await page.fill('[name="marks.0.pitch"]', '14.6 mm');
  await page.fill('[name="marks.0.feed"]', '24 ft/min');
  await page.click('button.go');
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  await sound(page, `an answer, ${colorScheme}`);
  await shot(page, 'answer-' + colorScheme);
  await page.goto(home + 'nosuch');
  await sound(page, `a page that is not there, ${colorScheme}`);
}

// --- the keyboard alone

const keys = await open({ viewport: { width: 900, height: 700 }, javaScriptEnabled: false });
await keys.goto(home + 'study/rates');
const focused = () => keys.evaluate(() => document.activeElement.name || document.activeElement.className);
await keys.keyboard.press('Tab');
check(await focused() === 'skip', 'the way past the heading comes first');
for (let i = 0; i < 30 && await focused() !== 'machine.kept'; i++) await keys.keyboard.press('Tab');
await keys.keyboard.type('three');
for (let i = 0; i < 30 && await focused() !== 'feed'; i++) await keys.keyboard.press('Tab');
await keys.keyboard.type('24 ft/min');
await keys.keyboard.press('Enter');
await keys.waitForSelector('.answer');
check((await keys.textContent('.answer')).includes('belt splice'), 'a keyboard is answered');

await browser.close();
server.kill('SIGTERM');
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed > 0 ? 1 : 0);
