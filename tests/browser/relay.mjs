// A signal that comes and goes: stands between the phone and the program, and can be cut, cut off an answer that the server
// has given already, answer as a proxy does whose server is down or busy, or pose as a newer build of Dowel.
import http from 'node:http';

/** Forwards to `target`; `off`, `down` (a pattern of paths, answered with `saying`, noted in `refused`), `dropAnswers`, `build` and `seen` may be changed and read while it runs. */
export async function relay(target) {
  const to = new URL(target);
  const state = { off: false, down: null, saying: 502, refused: [], dropAnswers: 0, build: null, seen: [] };
  const server = http.createServer(async (request, response) => {
    const body = [];
    for await (const chunk of request) body.push(chunk);
    if (state.off) return request.socket.destroy();
    if (state.down?.test(request.url)) {
      state.refused.push(request.url);
      return response.writeHead(state.saying).end('Not now');
    }
    const own = { method: request.method, path: request.url };
    let path = request.url;
    if (state.build) {
      // the files of the old build are gone, as they are after an update
      if (path.startsWith('/static/') && !path.startsWith(`/static/${state.build}/`)) return response.writeHead(404).end();
      path = path.replace(`/static/${state.build}/`, `/static/${state.real}/`);
    }
    const headers = { ...request.headers, 'accept-encoding': 'identity' };
    const asked = http.request({ host: to.hostname, port: to.port, method: request.method, path, headers }, async (answer) => {
      const chunks = [];
      for await (const chunk of answer) chunks.push(chunk);
      let bytes = Buffer.concat(chunks);
      own.status = answer.statusCode;
      own.body = Buffer.concat(body).toString();
      state.seen.push(own);
      if (request.method === 'POST' && path.endsWith('/result') && state.dropAnswers > 0) {
        state.dropAnswers -= 1;
        return request.socket.destroy();
      }
      state.real ??= bytes.toString().match(/\/static\/(\w+)\//)?.[1];
      if (state.build && state.real) bytes = Buffer.from(bytes.toString('latin1').replaceAll(state.real, state.build), 'latin1');
      const { 'content-length': _, 'transfer-encoding': __, ...rest } = answer.headers;
      response.writeHead(answer.statusCode, { ...rest, 'content-length': bytes.length });
      response.end(bytes);
    });
    asked.on('error', () => request.socket.destroy());
    asked.end(Buffer.concat(body));
  });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  state.address = `http://127.0.0.1:${server.address().port}`;
  state.close = () => new Promise((done) => (server.closeAllConnections(), server.close(done)));
  return state;
}
