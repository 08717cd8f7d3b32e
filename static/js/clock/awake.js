// Keeps the screen on while a clock runs; taken again after a call or a look at another app.

let wanted = false;
let lock = null;

async function take() {
  if (!wanted || lock || document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return;
  try {
    lock = await navigator.wakeLock.request('screen');
    lock.addEventListener('release', () => (lock = null));
  } catch {
    // low battery or a browser that does not allow it: the clock itself does not depend on it
  }
}

document.addEventListener('visibilitychange', take);

/** Keeps the screen on, or lets it go. */
export function keepAwake(on) {
  wanted = on;
  if (on) take();
  else lock?.release();
}
