// Details of one name close each other, where the browser does not do it by itself.
if (!("name" in HTMLDetailsElement.prototype)) {
  document.addEventListener("toggle", (event) => {
    const { target } = event;
    const name = target.getAttribute?.("name");
    if (!name || !target.open) return;
    for (const other of document.querySelectorAll(`details[name="${CSS.escape(name)}"][open]`)) {
      if (other !== target) other.open = false;
    }
  }, true);
}
