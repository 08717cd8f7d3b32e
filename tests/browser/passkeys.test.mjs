// Passkeys with a real browser and its virtual authenticator: made, signed out, signed in with, without typing a name.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, phone, start } from './dowel.mjs';

let chromium;
let dowel;
let address;
before(async () => {
  chromium = await browser();
  dowel = await start('demo');
  // passkeys belong to a name: this machine's is localhost
  address = dowel.address.replace('127.0.0.1', 'localhost');
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

const printed = (pattern) => dowel.printed().match(pattern)[1];
const password = () => printed(/password:\s+(.+)/);
const names = { coach: /as the coach:\s+(\S+)/, member: /as a member:\s+(\S+)/ };

async function signIn(page, who) {
  await page.goto(`${address}/sign-in`);
  await page.getByLabel('E-mail or name').fill(printed(names[who]));
  await page.getByLabel('Password').fill(password());
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await page.waitForURL(/\/(today|week|groups)/);
}

/** A phone whose finger print reader says yes, or does not know the finger. */
async function withAuthenticator(knows = true) {
  const page = await (await phone(chromium)).newPage();
  const cdp = await page.context().newCDPSession(page);
  await cdp.send('WebAuthn.enable');
  const options = { protocol: 'ctap2', transport: 'internal', hasResidentKey: true, hasUserVerification: true, isUserVerified: knows };
  const { authenticatorId } = await cdp.send('WebAuthn.addVirtualAuthenticator', { options });
  return { page, cdp, authenticatorId };
}

async function make(page) {
  await page.goto(`${address}/you/passkeys`);
  await page.getByLabel('What do you call it?').fill('my phone');
  await page.getByLabel('Your password').last().fill(password());
  await page.getByRole('button', { name: 'Go on' }).click();
  await page.getByRole('button', { name: 'Make it' }).click();
}

async function signOut(page, who) {
  if (who === 'member') await page.goto(`${address}/you`);
  await page.getByRole('button', { name: 'Sign out' }).click();
  await page.waitForURL(/\/sign-in/);
}

for (const who of ['coach', 'member']) {
  test(`a ${who} makes a passkey, signs out, and signs in with one tap`, async () => {
    const { page, cdp, authenticatorId } = await withAuthenticator();
    await signIn(page, who);
    await make(page);
    await page.getByText('The passkey is made.').waitFor();
    assert.equal(await page.locator('.card h2').textContent(), 'my phone');
    const { credentials } = await cdp.send('WebAuthn.getCredentials', { authenticatorId });
    assert.deepEqual(credentials.map((c) => [c.rpId, c.isResidentCredential]), [['localhost', true]]);
    await signOut(page, who);
    await page.getByRole('button', { name: 'Sign in with a passkey' }).tap();
    await page.waitForURL(/\/(today|week|groups)/);
  });
}

test('a finger that is not known makes no passkey, and the page says what to do', async () => {
  const { page } = await withAuthenticator(false);
  await signIn(page, 'member');
  await make(page);
  await page.getByText('Nothing came from your device. Try once more.').waitFor();
});

test('a passkey with an old count is refused', async () => {
  const { page, cdp, authenticatorId } = await withAuthenticator();
  await signIn(page, 'member');
  await make(page);
  await page.getByText('The passkey is made.').waitFor();
  await signOut(page, 'member');
  const { credentials } = await cdp.send('WebAuthn.getCredentials', { authenticatorId });
  await page.getByRole('button', { name: 'Sign in with a passkey' }).tap();
  await page.waitForURL(/\/today/);
  await signOut(page, 'member');
  // a copy from before: the same key, with the count it had then
  await cdp.send('WebAuthn.clearCredentials', { authenticatorId });
  await cdp.send('WebAuthn.addCredential', { authenticatorId, credential: { ...credentials[0], signCount: 0 } });
  await page.getByRole('button', { name: 'Sign in with a passkey' }).tap();
  await page.getByText('That passkey could not be used here.').waitFor();
});

test('under the number of this machine the page says where passkeys work', async () => {
  const { page } = await withAuthenticator();
  await page.goto(`${dowel.address}/sign-in`);
  await page.getByRole('button', { name: 'Sign in with a passkey' }).tap();
  await page.getByText('Passkeys of here work at localhost.').waitFor();
});

test('without scripts the sign-in page shows the password alone, and it works', async () => {
  const page = await (await phone(chromium, { javaScriptEnabled: false })).newPage();
  await page.goto(`${address}/sign-in`);
  assert.equal(await page.getByRole('button', { name: 'Sign in with a passkey' }).isVisible(), false);
  await signIn(page, 'member');
});
