// Starts the built program on a free loopback port with a folder of its own, and a phone-size browser.
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { chromium } from 'playwright-core';

export const BINARY = process.env.DOWEL_BINARY ?? 'target/release/dowel';

const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** A port that nobody listens on just now. */
export async function freePort() {
  const server = createServer();
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address();
  await new Promise((done) => server.close(done));
  return port;
}

/** A running program, with `more` settings: `address`, `folder`, `run(...words)` for other commands on the same folder, `stop()`. */
export async function start(command = 'serve', more = {}) {
  const folder = mkdtempSync(path.join(tmpdir(), 'dowel-'));
  const data = path.join(folder, 'data');
  const port = await freePort();
  const address = `http://127.0.0.1:${port}`;
  const settings = { ...process.env, DOWEL_DATA: data, DOWEL_LISTEN: `127.0.0.1:${port}`, DOWEL_LOG: 'warn', ...more };
  const run = (...words) => execFileSync(BINARY, words, { env: settings, encoding: 'utf8' });
  const child = spawn(BINARY, [command], { env: settings, stdio: ['ignore', 'pipe', 'inherit'] });
  // nothing stays behind where a test breaks off
  process.once('exit', () => child.kill());
  let printed = '';
  child.stdout.on('data', (chunk) => (printed += chunk));
  const ended = new Promise((done) => child.once('exit', done));
  const stop = async () => {
    child.kill('SIGTERM');
    await ended;
    rmSync(folder, { recursive: true, force: true });
  };
  for (const begun = Date.now(); ; ) {
    const up = await fetch(`${address}/sign-in`).then((r) => r.ok, () => false);
    if (up) break;
    if (child.exitCode !== null || Date.now() - begun > 20_000) throw new Error(`${BINARY} ${command} did not start`);
    await new Promise((done) => setTimeout(done, 25));
  }
  return { address, folder, run, stop, printed: () => printed };
}

const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
const SHELL = '/usr/bin/chromium-headless-shell';
const launch = (executablePath) => chromium.launch({ executablePath, args: FLAGS });

/** The whole of Chromium, headless: for what is timed, kept on the device, played, or done with a key. */
export const browser = () => launch(CHROMIUM);

/** Its shell, where there is one: the same engine, for what is only looked at and typed into. It costs two thirds. */
export const shell = () => launch(process.env.CHROMIUM || !existsSync(SHELL) ? CHROMIUM : SHELL);

/** A phone: 360 x 740, touch, its own cookies. */
export const phone = (from, more = {}) =>
  from.newContext({ viewport: { width: 360, height: 740 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true, ...more });

/** A laptop. */
export const laptop = (from, more = {}) => from.newContext({ viewport: { width: 1280, height: 800 }, ...more });
