/* Comforts on top of pages that work without them. Nothing here decides anything. */
"use strict";

(() => {
  // What one person typed is not put before the next one at the same tablet.
  const KEPT = `ferrulebook:kept:${document.body.dataset.person ?? ""}:`;
  // A server that has not answered by then is not going to: let the person send again.
  const GIVE_UP_MS = 15000;

  const typedFields = (form) =>
    [...form.elements].filter(
      (field) =>
        field.name &&
        field.name !== "csrfmiddlewaretoken" &&
        !["hidden", "password", "file", "submit", "button"].includes(field.type) &&
        field.dataset.scan === undefined && // given back, it would stand before the next scan
        field.tagName !== "FIELDSET",
    );

  const isTick = (field) => field.type === "checkbox" || field.type === "radio";
  const fieldKey = (field) => (isTick(field) ? `${field.name}=${field.value}` : field.name);

  /* (a) form[data-keep]: what was typed survives a reload and a lost connection, and is forgotten
     once the server has answered with another page or a success. Two forms of one page, or two
     questions under one address, need names of their own: data-keep="end A". */

  const keyOf = (form) => `${KEPT}${location.pathname}#${form.dataset.keep}`;

  function keep(form, sent) {
    const values = {};
    for (const field of typedFields(form)) {
      values[fieldKey(field)] = isTick(field) ? field.checked : field.value;
    }
    sessionStorage.setItem(keyOf(form), JSON.stringify({ sent, values }));
  }

  function isUntouched(field) {
    if (isTick(field)) return field.checked === field.defaultChecked;
    if (field.tagName === "SELECT") return [...field.options].every((o) => o.selected === o.defaultSelected);
    return field.value === field.defaultValue;
  }

  function giveBack(form) {
    const stored = sessionStorage.getItem(keyOf(form));
    if (stored === null) return;
    const { values } = JSON.parse(stored);
    for (const field of typedFields(form)) {
      const value = values[fieldKey(field)];
      if (value === undefined || !isUntouched(field)) continue;
      if (isTick(field)) field.checked = value;
      else field.value = value;
      // An answer that was given back is seen, though its question is one of those folded away.
      const folded = field.closest("details");
      if (folded && !isUntouched(field)) folded.open = true;
    }
  }

  function forgetSent(forms) {
    const asked = new Set(forms.map(keyOf));
    const succeeded = document.querySelector(".message.success") !== null;
    for (const key of Object.keys(sessionStorage).filter((k) => k.startsWith(KEPT))) {
      const { sent } = JSON.parse(sessionStorage.getItem(key));
      if (sent && (succeeded || !asked.has(key))) sessionStorage.removeItem(key);
    }
  }

  /* (b) A form is sent once. The server refuses a second one too; this saves the fright. */

  function release(form) {
    if (form.dataset.waits) return; // its step waits on this tablet: waiting.js says when it may be sent again
    delete form.dataset.sent;
    for (const button of form.querySelectorAll("button[data-paused]")) {
      button.disabled = false;
      delete button.dataset.paused;
    }
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    // htmx sends its own forms and has cancelled the event by now.
    if (event.defaultPrevented) return;
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    if (form.dataset.keep !== undefined) keep(form, true);
    // Only afterwards: a disabled button would not be sent along.
    setTimeout(() => {
      for (const button of form.querySelectorAll("button:not([type=button], :disabled)")) {
        button.disabled = true;
        button.dataset.paused = "yes";
      }
    });
    setTimeout(() => release(form), GIVE_UP_MS);
  });

  document.addEventListener("input", (event) => {
    const form = event.target.form;
    if (form && form.dataset.keep !== undefined) keep(form, false);
  });

  document.addEventListener("ferrulebook:release", (event) => {
    release(event.target);
  });

  window.addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll("form[data-sent]")) release(form);
  });

  /* (c) form[data-readings]: a caliper types digits, then Enter. Enter goes to the next empty
     reading and sends the form only when there is none. */

  const READING = "input:not([type=hidden], [type=checkbox], [type=radio], [type=file])";

  document.addEventListener("keydown", (event) => {
    const input = event.target;
    if (event.key !== "Enter" || !(input instanceof HTMLInputElement) || !input.matches(READING)) return;
    const form = input.form;
    if (!form || form.dataset.readings === undefined) return;
    const readings = [...form.querySelectorAll(READING)];
    const here = readings.indexOf(input);
    const inTurn = [...readings.slice(here + 1), ...readings.slice(0, here + 1)];
    const empty = inTurn.find((reading) => reading.value.trim() === "");
    if (!empty) return;
    event.preventDefault();
    empty.focus();
  });

  /* (d) [data-scan]: the next scan replaces the last. */

  const selectScan = (field) => field.matches("input[data-scan]") && field.select();

  document.addEventListener("focusin", (event) => selectScan(event.target));
  selectScan(document.activeElement); // the page may have put the focus there before this ran

  /* A scanner types wherever the focus is. After a tick it is on the box, which has no use for letters. */
  document.addEventListener("keydown", (event) => {
    const box = event.target;
    const isLetter = event.key.length === 1 && event.key !== " " && !event.ctrlKey && !event.metaKey && !event.altKey;
    if (!isLetter || !(box instanceof HTMLInputElement) || !isTick(box)) return;
    box.form?.querySelector("input[data-scan]")?.focus();
  });

  const FIRST_ANSWER = "main form.bench :is(input:not([type=hidden]), select, textarea, button)";
  const keeping = [...document.querySelectorAll("form[data-keep]")];
  // The lock of an idle screen is no answer to what was sent.
  if (!document.querySelector("form[data-locked]")) forgetSent(keeping);
  keeping.forEach(giveBack);
  // What is wrong is read out and seen first, unless the page waits for a scan or a reading.
  // A step at the bench begins at its first answer; the page stays where it is.
  if (!document.querySelector("[autofocus]")) {
    const summary = document.querySelector("[data-summary]");
    if (summary) summary.focus();
    else document.querySelector(FIRST_ANSWER)?.focus({ preventScroll: true });
  }
})();
