// A practice set up as its people do it: a coach, a group, invitations, somebody who joins.
import assert from 'node:assert/strict';
import { laptop, phone } from './dowel.mjs';

const PASSWORD = 'driftwood and tar';

/** The laptop of a coach who has just set a password by the one-time link. */
export async function coachOf(chromium, dowel, options) {
  const printed = dowel.run('coach', 'add', '--name', 'Mara', '--sign-in', 'mara@example.org', '--zone', 'UTC');
  const link = printed.match(/http:\S+/)[0];
  const page = await (await laptop(chromium, options)).newPage();
  await page.goto(link);
  await page.getByLabel('New password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Set it and go on' }).click();
  return page;
}

export async function makeGroup(page, dowel) {
  await page.goto(`${dowel.address}/groups`);
  await page.getByLabel('Name', { exact: true }).fill('Harbour');
  await page.getByRole('button', { name: 'Make the group' }).click();
  await page.waitForURL(/\/groups\/\d+/);
  return new URL(page.url()).pathname;
}

export async function invite(page, dowel, group, label) {
  await page.goto(dowel.address + group);
  await page.getByLabel('Invite: for whom?').fill(label);
  await page.getByRole('button', { name: 'Make the invitation' }).click();
  const card = page.locator('article.invite', { hasText: label });
  assert.equal(await card.locator('.qr svg').count(), 1);
  return (await card.locator('code').textContent()).trim();
}

export async function join(chromium, link, name, options) {
  const page = await (await phone(chromium, options)).newPage();
  await page.goto(link);
  await page.getByLabel('Your name').fill(name);
  await page.getByLabel('E-mail, or a name to sign in with').fill(name.toLowerCase());
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByLabel('Time zone').fill('UTC');
  await page.getByRole('button', { name: 'Go on' }).click();
  await page.getByLabel(/broomstick|stick/i).first().check();
  await page.getByRole('button', { name: 'Go on' }).click();
  await page.getByLabel('A private word to your coach').fill('');
  await page.getByRole('button', { name: 'Go on' }).click();
  await page.getByLabel('I have read this and will follow it').check();
  await page.getByRole('button', { name: 'Begin' }).click();
  await page.waitForURL(/\/today/);
  return page;
}
