// Under the score of form[data-reads] stands what it would be read as, before it is saved. Without a signal nothing is said.
import { ask } from './ask.js';

const PAUSE_MS = 400;

for (const form of document.querySelectorAll('form[data-reads]')) {
  const field = form.elements.score;
  if (!field) continue;
  const said = Object.assign(document.createElement('output'), { className: 'hint read' });
  field.after(said);
  let timer;
  let turn = 0;
  const show = async () => {
    const mine = turn += 1;
    const { score, version, version_id } = form.elements;
    const body = new URLSearchParams({ score: score.value, version: version?.value ?? '', version_id: version_id.value });
    const { went, text } = score.value.trim() ? await ask(form.dataset.reads, { method: 'POST', body }) : {};
    // an answer to what is not typed any more says nothing
    if (mine === turn) said.value = went === 'well' ? text : '';
  };
  const soon = ({ target }) => {
    if (!['score', 'version'].includes(target.name)) return;
    clearTimeout(timer);
    timer = setTimeout(show, PAUSE_MS);
  };
  form.addEventListener('input', soon);
  // what a draft or a clock filled in is read too
  if (field.value !== field.defaultValue) show();
}
