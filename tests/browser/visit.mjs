// What tests do on a member's phone: wait until something happened in the page, log a part.

/** Given to a page: how many pages it keeps. */
export const pagesKept = () =>
  (async () => {
    const name = (await caches.keys()).find((key) => key.startsWith('dowel pages '));
    if (!name) return 0;
    return (await (await caches.open(name)).keys()).length;
  })();

/** Waits in the page until `check` (a function there) gives what is wanted. */
export async function until(page, check, wanted = (n) => n) {
  for (let i = 0; i < 100; i += 1) {
    const got = await page.evaluate(check).catch(() => null);
    if (wanted(got)) return got;
    await new Promise((done) => setTimeout(done, 50));
  }
  throw new Error('it did not happen within five seconds');
}

export const logForm = (page) => page.locator('details.part').first().locator('form.score');

export async function log(page, score) {
  const form = logForm(page);
  // until then the page's own scripts may still open and shut its parts
  await page.waitForLoadState();
  if (!(await form.isVisible())) await page.locator('details.part').first().locator('details.to-log > summary').click();
  await form.getByLabel(/time/i).first().fill(score);
  await form.locator('[name=rpe][value="7"]').check({ force: true });
  await form.getByRole('button', { name: 'Save' }).click();
}

/** What says that something waits to be sent, or was not taken; not yet while it is on its way for the first time. */
export const waiting = (page) => page.locator('[data-waiting].notice').filter({ hasNotText: 'Sending: ' });

/** Given to a page with a clock: how much of the screen's height its digits fill as they are drawn, from the top of the first to the foot of the last. */
export const drawn = () => {
  const rows = [...document.querySelectorAll('.clock-face > :not(.colon)')].filter((e) => e.checkVisibility());
  const { fontWeight, fontSize, fontFamily, transform } = getComputedStyle(rows[0]);
  const pen = document.createElement('canvas').getContext('2d');
  pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
  const { actualBoundingBoxAscent: above, actualBoundingBoxDescent: below } = pen.measureText('0123456789');
  const middles = rows.map((e) => e.getBoundingClientRect()).map((box) => box.top + box.height / 2);
  return (middles.at(-1) - middles[0] + (above + below) * new DOMMatrix(transform).d) / innerHeight;
};
