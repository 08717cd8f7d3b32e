// Pages that only a bad form brings up, at addresses of their own, so that they can be audited like any other: stands before the
// program and sends the form for whoever asks for such an address. Everything else goes through.
import http from 'node:http';

/** `forms`: list of { name, action, fields, as, status }. Gives `address`, `pages` for the audit's list and `close()`. */
export async function afterBadForms(target, forms) {
  const to = new URL(target);
  const at = new Map(forms.map((form) => [`/after/${form.name}`, form]));
  const server = http.createServer((request, response) => {
    const form = request.method === 'GET' ? at.get(request.url) : undefined;
    const headers = { ...request.headers, host: to.host };
    if (form) Object.assign(headers, { origin: target, 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' });
    // a page of the program speaks of it as its own origin
    else if (headers.origin) headers.origin = target;
    const asked = http.request({ host: to.hostname, port: to.port, method: form ? 'POST' : request.method, path: form?.action ?? request.url, headers }, (answer) => {
      response.writeHead(answer.statusCode, answer.headers);
      answer.pipe(response);
    });
    asked.on('error', () => response.destroy());
    if (form) asked.end(new URLSearchParams(form.fields).toString());
    else request.pipe(asked);
  });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  return {
    address: `http://127.0.0.1:${server.address().port}`,
    pages: forms.map(({ name, as, status = 422 }) => ({ name: `${name}-refused`, path: `/after/${name}`, as, status })),
    close: () => new Promise((done) => (server.closeAllConnections(), server.close(done))),
  };
}
