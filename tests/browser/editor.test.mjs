// The editor as a coach meets it: read while typing, mended in a tap, never lost.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { laptop, shell, start } from './dowel.mjs';

let chromium, dowel, context, address;

before(async () => {
  chromium = await shell();
  dowel = await start();
  const printed = dowel.run('coach', 'add', '--name', 'Mara', '--sign-in', 'mara@example.org', '--zone', 'UTC');
  context = await laptop(chromium);
  const page = await context.newPage();
  await page.goto(printed.match(/http:\S+/)[0]);
  await page.getByLabel('New password').fill('driftwood and tar');
  await page.getByRole('button', { name: 'Set it and go on' }).click();
  await page.goto(`${dowel.address}/groups`);
  await page.getByLabel('Name', { exact: true }).fill('Harbour');
  await page.getByRole('button', { name: 'Make the group' }).click();
  await page.waitForURL(/\/groups\/\d+/);
  address = (slot) => `${page.url().replace(/\?.*/, '')}/days/2026-12-0${Math.ceil(slot / 6)}/${((slot - 1) % 6) + 1}`;
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

const open = async (slot, where = context) => {
  const page = await where.newPage();
  await page.goto(address(slot));
  return page;
};
const understood = (page, text) => page.locator('[data-reading]', { hasText: text }).waitFor({ timeout: 5000 });
const saved = (page) => page.locator('[data-saved]', { hasText: 'Saved.' }).waitFor({ timeout: 5000 });

test('what is typed is read and saved without a reload', async () => {
  const page = await open(1);
  await page.locator('#text').pressSequentially('Slack water\n\nA. Goblet squat\n3 x 10 @ RPE 7, rest 60 s\n');
  await understood(page, 'goblet squat');
  await saved(page);
  assert.equal(await page.locator('[data-chip]').textContent(), 'draft', 'it is empty no more');
  await page.reload();
  assert.match(await page.locator('#text').inputValue(), /^Slack water/);
});

test('a slip is underlined at its word and mended in one tap', async () => {
  const page = await open(2);
  await page.fill('#text', 'Slips\n\nA. Goblet squat\n3 x 10\n\nWarm-up\n10 wobbly flurbs\n');
  await page.locator('.problem').first().waitFor();
  const mark = page.locator('[data-marks] mark').first();
  const word = await page.locator('.problem mark').first().textContent();
  assert.equal(await mark.textContent(), word);
  const line = await page.locator('.problem [data-go]').first().getAttribute('data-go');
  // under the word: as many lines down as the problem says
  const box = await mark.boundingBox();
  const area = await page.locator('#text').boundingBox();
  const height = parseFloat(await page.locator('#text').evaluate((e) => getComputedStyle(e).lineHeight));
  assert.ok(Math.abs(box.y - area.y - (Number(line.split(':')[0]) - 1) * height) < height, 'it stands at its line');
  await page.getByRole('button', { name: /This line is a note/ }).click();
  await page.locator('.problem').first().waitFor({ state: 'detached' });
  assert.match(await page.locator('#text').inputValue(), /\nNote: 10 wobbly flurbs/);
  assert.equal(await page.locator('[data-marks] mark').count(), 0);
});

test('what a part is for is changed by its chip, without a mouse', async () => {
  const page = await open(3);
  await page.fill('#text', 'Chips\n\nA. Goblet squat\n3 x 10\n');
  await understood(page, 'goblet squat');
  await saved(page);
  await page.locator('.intent > summary').focus();
  await page.keyboard.press('Enter');
  await page.locator('.intent button', { hasText: 'mobility' }).focus();
  await page.keyboard.press('Enter');
  await page.locator('.intent > summary', { hasText: 'mobility, set by you' }).waitFor();
});

test('a server that is away and a browser that dies take nothing', async () => {
  const page = await open(4);
  await page.fill('#text', 'First words\n');
  await saved(page);
  await context.setOffline(true);
  await page.fill('#text', 'First words\n\nA. Deadlift\n5 x 5\n');
  await page.locator('[data-saved]', { hasText: 'no connection' }).waitFor({ timeout: 5000 });
  await page.close({ runBeforeUnload: false });
  await context.setOffline(false);
  const again = await open(4);
  assert.match(await again.locator('#text').inputValue(), /A\. Deadlift\n5 x 5/);
  await saved(again);
  assert.match(await (await open(4)).locator('#text').inputValue(), /A\. Deadlift/);
});

test('whoever is signed out meanwhile is told so, loses nothing, and goes on after signing in', async () => {
  const page = await open(7);
  await page.fill('#text', 'Before\n');
  await saved(page);
  const cookies = await context.cookies();
  await context.clearCookies();
  let asked = 0;
  page.on('request', (r) => r.url().endsWith('/reading') && (asked += 1));
  await page.fill('#text', 'Before\n\nA. Deadlift\n5 x 5\n');
  await page.locator('[data-saved]', { hasText: 'you are signed out' }).waitFor({ timeout: 5000 });
  await page.waitForTimeout(5500);
  assert.equal(asked, 1, 'it does not go on asking');
  await context.addCookies(cookies);
  await page.evaluate(() => dispatchEvent(new Event('focus')));
  await saved(page);
  assert.match(await (await open(7)).locator('#text').inputValue(), /A\. Deadlift/);
});

test('what is too long is said to be too long, and is kept', async () => {
  const page = await open(8);
  // signs that take three bytes each on the way make a form too large before the page has much to draw
  const long = 'Note: ' + '\u2026'.repeat(30_000);
  await page.fill('#text', long);
  await page.locator('[data-saved]', { hasText: 'too long' }).waitFor({ timeout: 15_000 });
  assert.ok((await page.locator('#text').inputValue()) === long, 'all of it is still there');
});

const CLOSED = () => {
  const closed = { get() { throw new DOMException('closed', 'SecurityError'); } };
  Object.defineProperty(window, 'localStorage', closed);
  Object.defineProperty(window, 'sessionStorage', closed);
};
const FULL = () => {
  for (let size = 1 << 20; size; size >>= 1) {
    try {
      for (let i = 0; ; i += 1) localStorage.setItem(`${size} ${i}`, 'x'.repeat(size));
    } catch { /* in smaller pieces */ }
  }
};

test('where the device can keep nothing, it saves all the same, and says what it cannot do', async () => {
  for (const [slot, script] of [[9, CLOSED], [10, FULL]]) {
    const own = await laptop(chromium, { storageState: await context.storageState() });
    await own.addInitScript(script);
    const page = await open(slot, own);
    await page.fill('#text', 'Nowhere\n');
    await saved(page);
    await own.setOffline(true);
    await page.fill('#text', 'Nowhere\n\nA. Deadlift\n5 x 5\n');
    await page.locator('[data-saved]', { hasText: 'no connection. This device has no room to keep it' }).waitFor({ timeout: 5000 });
    await own.setOffline(false);
    await page.locator('[data-saved]', { hasText: /^Saved\./ }).waitFor({ timeout: 10_000 });
    assert.match(await (await open(slot)).locator('#text').inputValue(), /A\. Deadlift/);
    await own.close();
  }
});

test('what an earlier Dowel kept under another name is brought back', async () => {
  const own = await laptop(chromium, { storageState: await context.storageState() });
  const page = await open(11, own);
  await page.evaluate(() => {
    localStorage.clear();
    const { action, elements } = document.querySelector('[data-editor]');
    localStorage.setItem(`draft ${new URL(action).pathname}`, JSON.stringify({ text: 'Left over\n', edit: elements.edit.value }));
    localStorage.setItem('dowel person', document.body.dataset.person);
  });
  await page.reload();
  await saved(page);
  assert.match(await (await open(11)).locator('#text').inputValue(), /^Left over/);
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((key) => /draft/.test(key)).length), 0);
  await own.close();
});

test('two tabs never overwrite each other', async () => {
  const [one, two] = [await open(5), await open(5)];
  await one.fill('#text', 'From the first tab\n');
  await saved(one);
  await two.fill('#text', 'From the second tab\n');
  await two.locator('[data-saved]', { hasText: 'Saved meanwhile in another tab' }).waitFor({ timeout: 5000 });
  await two.getByRole('button', { name: 'Read and save' }).click();
  await two.getByRole('heading', { name: /Saved meanwhile/ }).waitFor();
  assert.equal(await two.locator('#theirs').inputValue(), 'From the first tab\n');
  assert.equal(await two.locator('#text').inputValue(), 'From the second tab\n');
});

test('tidying is asked for, shown beside what was typed, and only then taken', async () => {
  const page = await open(6);
  await page.fill('#text', 'Tidy me\n\nA. Goblet squat\n3x10 rest 60s\n');
  await page.getByRole('button', { name: 'Tidy this' }).click();
  assert.equal(await page.locator('#typed').inputValue(), 'Tidy me\n\nA. Goblet squat\n3x10 rest 60s\n');
  await page.getByRole('button', { name: 'Use the tidied one' }).click();
  await page.waitForURL(/said=saved/);
  assert.match(await page.locator('#text').inputValue(), /^A\. Goblet squat\n3 x 10, rest 1:00$/m);
});
