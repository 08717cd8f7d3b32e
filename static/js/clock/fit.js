// Makes room for long names: first the digits give way, down to a third of the screen, then the lines become smaller. What is
// too much even then scrolls, and the buttons stay where they are.

/** Of the lines; at the first step everything is as large as it can be. */
const SIZES = [1, 1, 0.85, 0.72, 0.6];
let seen;

/** How large digits may be that fill the width, whatever letters the phone has: kept for the style sheet. */
function measure(screen) {
  const digits = [...screen.querySelectorAll('.clock-face > :not(.colon)')];
  const range = document.createRange();
  const wide = digits.map((row) => {
    range.selectNodeContents(row);
    return range.getBoundingClientRect().width;
  });
  const size = parseFloat(getComputedStyle(digits[0].parentElement).fontSize);
  const { paddingLeft, paddingRight } = getComputedStyle(screen);
  const room = screen.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
  const widest = Math.max(...wide);
  if (widest && size) screen.style.setProperty('--wide', `${Math.floor((room * size) / widest)}px`);
  stretch(screen, digits[0].parentElement);
}

/** Two digits that fill the width are drawn taller, as tall as two rows of them would be: a third of the screen. Beside the lines there is room for more. */
function stretch(screen, face) {
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const upright = 2 * Math.min(0.215 * innerHeight, Math.max(0.12 * innerHeight, innerHeight - 26 * rem));
  const rows = innerWidth > innerHeight ? 0.7 * innerHeight : upright;
  const tall = rows / parseFloat(getComputedStyle(face).fontSize);
  screen.style.setProperty('--tall', Math.min(1.7, Math.max(1, tall)).toFixed(2));
}

/** `box` is what stands between the digits and the buttons. Tries again only where words or digits came or went, or the phone was turned. */
export function fit(screen, box) {
  const kind = screen.className.replace(/ (tight|flash)/g, '');
  const long = screen.querySelector('[data-min]').textContent.length;
  const now = [innerWidth, innerHeight, kind, long, box.querySelectorAll('[hidden]').length, box.textContent.replace(/\d/g, '0')].join();
  if (now === seen) return;
  seen = now;
  measure(screen);
  for (const [step, size] of SIZES.entries()) {
    screen.classList.toggle('tight', step > 0);
    screen.style.setProperty('--fit', size);
    if (box.scrollHeight <= box.clientHeight) return;
  }
}
