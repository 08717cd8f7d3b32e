// Brings in what the page names in [data-load], in that order, once its words have been painted: on a slow line nothing
// competes with them. Until then the page is a plain one, which is complete.
const { dataset } = document.querySelector('script[data-load]');

function bring() {
  for (const name of dataset.load.split(' ')) {
    // not async: each runs when those before it have
    const more = { type: 'module', async: false, fetchPriority: 'low', src: new URL(`${name}.js`, import.meta.url) };
    document.head.append(Object.assign(document.createElement('script'), more));
  }
}

// a page in the background is not painted, and some browsers do not tell
if (document.hidden || !PerformanceObserver.supportedEntryTypes?.includes('paint')) bring();
else {
  new PerformanceObserver((list, observer) => {
    if (!list.getEntriesByName('first-contentful-paint').length) return;
    observer.disconnect();
    bring();
  }).observe({ type: 'paint', buffered: true });
}
