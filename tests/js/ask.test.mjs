// One way to ask the server: every answer is a value, also none at all.
import assert from 'node:assert/strict';
import { createServer } from 'node:http';
import { after, before, test } from 'node:test';
import { ask, read } from '../../static/js/ask.js';

let server;
let address;
before(async () => {
  server = createServer((request, response) => {
    const [, status] = request.url.match(/^\/(\d+)/) ?? [];
    if (request.url === '/cut') request.socket.destroy();
    else if (request.url === '/half') response.writeHead(200, { 'content-length': 100 }).write('half', () => request.socket.destroy());
    else if (status) response.writeHead(Number(status), { 'upload-offset': '7' }).end('{"detail":"why"}');
    // any other address is never answered
  });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  address = `http://127.0.0.1:${server.address().port}`;
});
after(() => (server.closeAllConnections(), server.close()));

test('an answer is told apart by what there is to do about it', async () => {
  const went = { 200: 'well', 400: 'no', 401: 'signed out', 403: 'no', 404: 'no', 408: 'later', 409: 'no', 422: 'no', 425: 'later', 429: 'later', 500: 'later', 502: 'later' };
  for (const [status, how] of Object.entries(went)) {
    const answer = await ask(`${address}/${status}`);
    assert.deepEqual([answer.went, answer.status, answer.headers.get('upload-offset')], [how, Number(status), '7']);
    assert.equal(read(answer).detail, 'why');
  }
});

test('another page is not gone on to: to be led to it is to be signed out', async () => {
  const real = globalThis.fetch;
  let how;
  // as a browser gives it
  globalThis.fetch = async (_, { redirect }) => ((how = redirect), { type: 'opaqueredirect', status: 0, ok: false, headers: new Headers(), text: async () => '' });
  const answer = await ask('/today');
  globalThis.fetch = real;
  assert.deepEqual([how, answer.went, answer.status], ['manual', 'signed out', 0]);
});

test('cut off, cut off half way, never answered or given up is later', async () => {
  const giveUp = new AbortController();
  setTimeout(() => giveUp.abort(), 50);
  const asked = [ask(`${address}/cut`), ask(`${address}/half`), ask(`${address}/never`, { wait: 50 }), ask(`${address}/never`, { signal: giveUp.signal }), ask(`${address}/200`, { signal: AbortSignal.abort() })];
  for (const answer of await Promise.all(asked)) {
    assert.deepEqual([answer.went, answer.status, answer.text], ['later', 0, '']);
    assert.deepEqual(read(answer), {});
  }
});
