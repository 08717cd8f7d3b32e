// How a session fits: the coach sees who it does not fit and chooses for them; they read it; not today, in two taps.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { shell, start } from './dowel.mjs';
import { coachOf, invite, join, makeGroup } from './steps.mjs';

const WRITE_UP = `Tide table

A. Strength: back squat 5 x 5 @ 40 kg

B. For time
40 jumping jacks
20 push-ups
or shorter: 12
`;

let chromium;
before(async () => (chromium = await shell()));
after(() => chromium.close());

async function publish(page, dowel, group) {
  const today = new Date().toISOString().slice(0, 10);
  await page.goto(`${dowel.address}${group}/days/${today}/1`);
  await page.getByLabel('Write-up').fill(WRITE_UP);
  await page.getByRole('button', { name: 'Read and save' }).click();
  await page.getByText('back squat').first().waitFor();
  await page.goto(`${dowel.address}/week`);
  await page.getByRole('link', { name: /^Publish/ }).click();
  await page.getByRole('button', { name: 'Publish' }).click();
  await page.getByText('Published.').waitFor();
  return `${dowel.address}${group}/days/${today}/1`;
}

/** Opens the form at a line of the coverage page. */
async function formAt(page, line) {
  const choose = page.locator('details.choose', { hasText: line });
  if (!(await choose.evaluate((d) => d.open))) await choose.locator('summary').click();
  return choose;
}

for (const javaScriptEnabled of [true, false]) {
  test(`from who it does not fit to what they read, ${javaScriptEnabled ? 'with' : 'without'} JavaScript`, async () => {
    const dowel = await start();
    try {
      const options = { javaScriptEnabled };
      const coach = await coachOf(chromium, dowel, options);
      const group = await makeGroup(coach, dowel);
      const ines = await join(chromium, await invite(coach, dowel, group, 'Ines'), 'Ines', options);
      const day = await publish(coach, dowel, group);

      await coach.goto(`${day}/coverage`);
      assert.match(await coach.locator('.served').first().textContent(), /0 of 1/);
      // what nobody can read is said beside what was typed
      let form = await formAt(coach, /back squat/);
      await form.getByLabel('They do').fill('9 flying carpets');
      await form.getByRole('button', { name: 'Choose' }).click();
      await coach.locator('.error').waitFor();
      form = await formAt(coach, /back squat/);
      assert.equal(await form.getByLabel('They do').inputValue(), '9 flying carpets');
      await form.getByLabel('For', { exact: true }).selectOption({ label: 'everybody without a bar' });
      await form.getByLabel('They do').fill('9 split squats each side');
      await form.getByRole('button', { name: 'Choose' }).click();
      await coach.locator('.chosen', { hasText: '1 gets it.' }).waitFor();

      await ines.goto(`${dowel.address}/today`);
      const squats = ines.locator('details.part').first();
      if (!(await squats.evaluate((d) => d.open))) await squats.locator('summary').first().click();
      assert.equal((await squats.locator('.move').first().textContent()).trim(), 'split squat');
      await squats.locator('.line summary').first().click();
      await squats.getByText('Your coach chose split squat for a home without a bar.').waitFor();

      // and away again
      await coach.getByRole('button', { name: /^Remove/ }).click();
      await coach.getByText('Deleted.').waitFor();
      assert.equal(await coach.locator('.chosen').count(), 0);
    } finally {
      await dowel.stop();
    }
  });
}

test('not today takes two taps, is kept with the result, and the board says which version was done', async () => {
  const dowel = await start();
  try {
    const coach = await coachOf(chromium, dowel);
    const group = await makeGroup(coach, dowel);
    const ines = await join(chromium, await invite(coach, dowel, group, 'Ines'), 'Ines');
    await publish(coach, dowel, group);
    await ines.goto(`${dowel.address}/today`);
    const part = () => ines.locator('details.part').nth(1);
    if (!(await part().evaluate((d) => d.open))) await part().locator('summary').first().click();
    const line = () => part().locator('.line').first();
    assert.equal((await line().locator('.move').textContent()).trim(), 'jumping jack');
    await line().locator('summary').first().click();
    await line().getByRole('button', { name: 'Too loud' }).click();
    await ines.getByText('Noted for today').waitFor();
    assert.notEqual((await line().locator('.move').textContent()).trim(), 'jumping jack');

    const form = part().locator('details.to-log');
    if (!(await form.evaluate((d) => d.open))) await form.locator('summary').first().click();
    await form.getByLabel(/time/i).first().fill('6:12');
    await form.getByRole('button', { name: 'Save' }).click();
    await ines.getByText('Your result is saved.').waitFor();
    if (!(await part().evaluate((d) => d.open))) await part().locator('summary').first().click();
    await part().getByRole('link', { name: 'Leaderboard' }).click();
    await ines.getByText('6:12').first().waitFor();
    await ines.getByText(/adapted/i).first().waitFor();
  } finally {
    await dowel.stop();
  }
});
