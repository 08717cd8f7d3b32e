// Makes room for long names: first the digits give way, down to a third of the screen, then the lines become smaller. What is
// too much even then scrolls, and the buttons stay where they are.

/** Of the lines; at the first step everything is as large as it can be. */
const SIZES = [1, 1, 0.85, 0.72, 0.6];
let seen;

/** `box` is what stands between the digits and the buttons. Tries again only where words came or went, or the phone was turned. */
export function fit(screen, box) {
  const kind = screen.className.replace(/ (tight|flash)/g, '');
  const now = [innerWidth, innerHeight, kind, box.querySelectorAll('[hidden]').length, box.textContent.replace(/\d/g, '0')].join();
  if (now === seen) return;
  seen = now;
  for (const [step, size] of SIZES.entries()) {
    screen.classList.toggle('tight', step > 0);
    screen.style.setProperty('--fit', size);
    if (box.scrollHeight <= box.clientHeight) return;
  }
}
