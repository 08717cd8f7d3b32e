// What a knuckle touches on a member's pages is at least 44 px each way; only a link inside a sentence is as high as its line.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell, start } from './dowel.mjs';

let chromium;
let dowel;
before(async () => {
  chromium = await shell();
  dowel = await start('demo');
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

/** Given to a page: everything opened up, what can be touched and is too small for it. */
const small = () => {
  for (const folded of document.querySelectorAll('details')) {
    folded.removeAttribute('name');
    folded.open = true;
  }
  const inSentence = (e) => {
    let block = e.parentElement;
    while (getComputedStyle(block).display.startsWith('inline')) block = block.parentElement;
    return getComputedStyle(e).display === 'inline' && /\w+ \w+/.test(block.textContent.replace(e.textContent, ''));
  };
  const boxOf = (e) => (e.matches('label > input') ? e.parentElement : e).getBoundingClientRect();
  return [...document.querySelectorAll('a[href], button, summary, input:not([type=hidden]), select, textarea')]
    .filter((e) => e.checkVisibility() && !e.matches('.unseen, .skip') && !inSentence(e))
    .map((e) => [e.textContent.trim() || e.name, boxOf(e)])
    .filter(([, { width, height }]) => width && height && Math.min(width, height) < 43.5)
    .map(([words, { width, height }]) => `${words}: ${Math.round(width)} x ${Math.round(height)}`);
};

test('on every kind of page that a member has, what is touched is large enough', async (t) => {
  const printed = dowel.printed();
  const context = await phone(chromium, { serviceWorkers: 'block' });
  const page = await context.newPage();
  await page.goto(`${dowel.address}/sign-in`);
  await page.getByLabel('E-mail or name').fill(printed.match(/as a member:\s+(\S+)/)[1]);
  await page.getByLabel('Password').fill(printed.match(/password:\s+(.+)/)[1]);
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await page.waitForURL(/\/(today|days)/);
  const day = (n) => `/days/${new Date(Date.now() - n * 864e5).toISOString().slice(0, 10)}`;
  const waiting = ['/today', ...[1, 2, 3, 4].map(day), '/history', '/you', '/movements', '/questions-of-mine'];
  // two of each kind: what one has, another may lack
  const kindOf = (path) => path.replace(/\d{4}-\d\d-\d\d/g, 'D').replace(/\d+/g, 'N').replace(/(movements|lifts)\/.*/, '$1/M');
  const seen = new Map();
  const faults = [];
  while (waiting.length) {
    const path = waiting.shift();
    const kind = kindOf(path);
    const before = seen.get(kind) ?? [];
    if (before.includes(path) || before.length >= (kind === '/days/D' ? 4 : 2)) continue;
    const answer = await page.request.get(dowel.address + path, { maxRedirects: 0 });
    if (answer.status() !== 200 || !answer.headers()['content-type'].startsWith('text/html')) continue;
    seen.set(kind, [...before, path]);
    await page.goto(dowel.address + path);
    for (const words of await page.evaluate(small)) faults.push(`${path}: ${words}`);
    waiting.push(...(await page.locator('a[href^="/"]').evaluateAll((all) => all.map((a) => new URL(a.href).pathname))));
  }
  t.diagnostic([...seen.keys()].join(' '));
  assert.ok(seen.size >= 15, `${seen.size} kinds of page`);
  assert.deepEqual(faults, []);
});
