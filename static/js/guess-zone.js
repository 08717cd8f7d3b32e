// An empty input[data-guess-zone] begins with the device's own time zone; it can be changed.
for (const input of document.querySelectorAll("[data-guess-zone]")) {
  input.value ||= Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
}
