// Keeps the screen on while a clock runs; taken again after a call or a look at another app.

let wanted = false;
let lock = null;
let asking = false;

async function take() {
  if (!wanted || lock || asking || document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return;
  asking = true;
  try {
    lock = await navigator.wakeLock.request('screen');
    lock.addEventListener('release', () => (lock = null));
    // stopped before the phone had answered
    if (!wanted) lock.release();
  } catch {
    // low battery or a browser that does not allow it: the clock itself does not depend on it
  } finally {
    asking = false;
  }
}

document.addEventListener('visibilitychange', take);

/** Keeps the screen on, or lets it go. */
export function keepAwake(on) {
  wanted = on;
  if (on) take();
  else lock?.release();
}
