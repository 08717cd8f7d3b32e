// Asks the server. Never throws, never goes on to another page (which would look like a good answer), never waits for ever.

const TRY_AGAIN = [408, 425, 429];

function wentOf({ type, status, ok }) {
  if (type === 'opaqueredirect' || status === 401) return 'signed out';
  if (ok) return 'well';
  return status >= 500 || TRY_AGAIN.includes(status) ? 'later' : 'no';
}

/**
 * Takes what `fetch` takes, and `wait`: milliseconds until it counts as cut off. Gives `went`: 'well', 'no' (refused),
 * 'signed out' or 'later' (cut off, or the server cannot just now); with `status` (0 where nothing came), `headers` and `text`.
 */
export async function ask(address, { wait = 15_000, signal, ...more } = {}) {
  const end = new AbortController();
  const stop = () => end.abort();
  const timer = setTimeout(stop, wait);
  signal?.addEventListener('abort', stop);
  if (signal?.aborted) stop();
  try {
    const answer = await fetch(address, { ...more, redirect: 'manual', signal: end.signal });
    const { status, headers } = answer;
    return { went: wentOf(answer), status, headers, text: await answer.text() };
  } catch {
    return { went: 'later', status: 0, headers: new Headers(), text: '' };
  } finally {
    clearTimeout(timer);
  }
}

/** The answer's JSON; an empty object where it is none. */
export function read({ text }) {
  try {
    return JSON.parse(text);
  } catch {
    return {};
  }
}
