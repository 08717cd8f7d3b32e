// "Not today?" at a line of the day: two taps, the member stays at the line, with script and without.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

const TEXT = `Net loft
Aim: steady.

A. Rounds
3 rounds
10 air squats
8 burpees
`;

let chromium;
let place;
before(async () => {
  chromium = await shell();
  place = await practice([{ on: day(), text: TEXT }]);
});
after(async () => {
  await chromium.close();
  await place.stop();
});

for (const script of [true, false]) {
  test(`a line is changed in two taps and taken back in one, ${script ? 'with' : 'without'} script`, async () => {
    const member = await place.member(script ? 'ines' : 'odo');
    const context = await phone(chromium, { javaScriptEnabled: script });
    await context.addCookies([cookieFor(place.dowel.address, member.call)]);
    const page = await context.newPage();
    await page.goto(`${place.dowel.address}/today`);
    const line = page.locator('.line').nth(1);
    assert.equal(await line.locator('.move').first().textContent(), 'burpee');
    await line.locator('summary').tap();
    await line.getByRole('button', { name: 'Too loud' }).tap();
    await page.waitForURL(/said=changed/);
    assert.match(await line.locator('.changed').textContent(), /too loud/i);
    assert.notEqual(await line.locator('.move').first().textContent(), 'burpee');
    const box = await line.boundingBox();
    assert.ok(box.y >= -box.height && box.y < 740, `the line is on the screen: ${box.y}`);
    await line.getByRole('button', { name: /^As before/ }).tap();
    await page.waitForURL(/said=as-before/);
    assert.equal(await line.locator('.move').first().textContent(), 'burpee');
    await context.close();
  });
}
