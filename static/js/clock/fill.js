// A clock that has ended fills the log: the address carries what it knows, and is cleaned of it at once.
const filled = new URLSearchParams(location.search);
const part = document.getElementById(location.hash.slice(1));
if (part && filled.has('minutes')) {
  const form = part.querySelector('form.score');
  for (const name of ['score', 'minutes']) {
    const field = form?.elements[name];
    if (field && !field.value && filled.get(name)) {
      field.value = filled.get(name);
      // kept like anything that was typed
      field.dispatchEvent(new Event('input', { bubbles: true }));
    }
  }
  part.open = true;
  form?.closest('details').setAttribute('open', '');
  form?.elements.score?.focus();
  history.replaceState(null, '', location.pathname + location.hash);
}
