/* Who is at the tablet. A badge that is scanned anywhere asks for its PIN over the page; an idle screen
   asks who is there. The server decides both: this only saves going to another page and back. */
"use strict";

(() => {
  // A badge as a scanner types it: the letter of its kind, twelve characters, a check character.
  const BADGE = /^B[0-9A-HJKMNP-TV-Z]{13}$/;
  const CODE_LENGTH = 14;
  const A_MOMENT_MS = 1000; // the server locks first, so that a reload can't get in between

  const pads = document.querySelectorAll("[data-pin-pad]");
  const fieldBeside = (pad) => pad.closest("form").querySelector("input[type=password]");

  for (const pad of pads) {
    pad.hidden = false;
    pad.addEventListener("click", (event) => {
      const { digit } = event.target.dataset;
      if (digit === undefined) return;
      const field = fieldBeside(pad);
      field.value = digit === "" ? "" : field.value + digit;
    });
  }

  const dialog = document.querySelector("dialog[data-tablet]");
  if (!dialog) return;

  const form = dialog.querySelector("form");
  const badge = form.elements["tablet-badge"];
  const pin = form.elements["tablet-pin"];
  const says = dialog.querySelector("[data-says]");
  const heading = dialog.querySelector("h2");
  const leave = dialog.querySelector("[data-leave]");
  const lockedWords = dialog.querySelector("[data-when-locked]");
  const idleMs = Number(dialog.dataset.idleS) * 1000 + A_MOMENT_MS;
  says.setAttribute("role", "alert");
  let lastAnswer = Date.now();
  let timer = null;

  const isLocked = () => document.body.classList.contains("is-locked");

  function open(code = "") {
    badge.value = code;
    pin.value = "";
    says.textContent = "";
    if (!dialog.open) dialog.showModal();
    (code || isLocked() ? pin : badge).focus();
  }

  function shut() {
    if (isLocked()) return;
    dialog.close();
  }

  function lock(locked) {
    document.body.classList.toggle("is-locked", locked);
    lockedWords.hidden = !locked;
    leave.hidden = locked;
    heading.textContent = locked ? heading.dataset.lockedWords : heading.dataset.changeWords;
  }

  /* Idle. A timer sleeps with the tablet, so the clock is asked as well. */

  function wait() {
    lastAnswer = Date.now();
    clearTimeout(timer);
    timer = setTimeout(lookAtTheClock, idleMs);
  }

  function ask() {
    lock(true);
    open();
  }

  function lookAtTheClock() {
    if (!isLocked() && Date.now() - lastAnswer >= idleMs) ask();
  }

  document.addEventListener("visibilitychange", lookAtTheClock);
  window.addEventListener("focus", lookAtTheClock);
  document.addEventListener("htmx:afterRequest", wait);
  document.addEventListener("ferrulebook:locked", ask); // the server has said so, to a step that was sent

  dialog.addEventListener("cancel", (event) => isLocked() && event.preventDefault());
  leave.addEventListener("click", shut);

  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-change-person]")) return;
    event.preventDefault();
    open();
  });

  /* A scanner types into whatever has the focus, then Enter: what it typed is taken out again. */

  let typed = "";

  document.addEventListener("focusin", () => (typed = ""));

  document.addEventListener(
    "keydown",
    (event) => {
      if (event.key.length === 1) {
        typed = (typed + event.key).slice(-CODE_LENGTH);
        return;
      }
      if (event.key !== "Enter") {
        if (event.key !== "Shift") typed = "";
        return;
      }
      const field = event.target;
      const whole = field.matches?.("input[data-scan]") ? field.value.replace(/[\s-]/g, "") : "";
      const code = [typed, whole].map((text) => text.toUpperCase()).find((text) => BADGE.test(text));
      const scanned = typed;
      typed = "";
      if (!code) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      if (field === badge) field.value = code;
      else if (whole && code === whole.toUpperCase()) field.value = "";
      else if (field instanceof HTMLInputElement && field.value.endsWith(scanned)) {
        field.value = field.value.slice(0, -scanned.length);
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }
      open(code);
    },
    true,
  );

  /* After too many wrong PINs the server asks for the password, in which there are letters too. */

  function askFor(words) {
    const label = pin.labels[0].firstChild;
    if (label.textContent.trim() === words) return;
    label.textContent = `${words} `;
    pin.removeAttribute("maxlength");
    pin.inputMode = "text";
  }

  /* Badge and PIN are sent without leaving the page. */

  async function send() {
    const answer = await fetch(form.action, {
      method: "POST",
      body: new FormData(form),
      headers: { Accept: "application/json" },
    });
    if (answer.status === 403) {
      location.assign(dialog.dataset.here); // somebody came in by another page: this one's key is an old one
      return;
    }
    const said = await answer.json();
    if (said.says) {
      pin.value = "";
      says.textContent = said.says.join(" ");
      askFor(said.asks);
      pin.focus();
    } else if (said.changes) location.assign(said.to);
    else {
      lock(false);
      shut();
      wait();
      document.dispatchEvent(new CustomEvent("ferrulebook:unlocked"));
    }
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send().catch((error) => {
      if (!(error instanceof TypeError)) throw error;
      says.textContent = "No connection. Try again once it is back.";
    });
  });

  wait();
})();
