// An empty input[data-guess-zone] begins with the device's own time zone; where another stands there, the device's is offered.
const own = Intl.DateTimeFormat().resolvedOptions().timeZone;

function offer(input) {
  const button = Object.assign(document.createElement('button'), { type: 'button', className: 'plain', textContent: `Take this phone’s: ${own}` });
  button.addEventListener('click', () => {
    input.value = own;
    button.remove();
    input.focus();
  });
  input.after(button);
}

for (const input of document.querySelectorAll('[data-guess-zone]')) {
  if (!own) break;
  if (!input.value) input.value = own;
  else if (input.value !== own) offer(input);
}
