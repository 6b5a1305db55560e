/* Bad Wi-Fi at the bench. A step is sent while its page stays. If no answer comes, it waits on this
   tablet, is told of in a bar, and is sent until there is an answer; its nonce makes twice harmless.
   Only who sent it first sends it again. Nothing that waits is dropped without being told. */
"use strict";

(() => {
  const WAITING = "ferrulebook:waiting:";
  const GIVE_UP_MS = 15000;
  const FIRST_PAUSE_MS = 2000;
  const LONGEST_PAUSE_MS = 60000;
  const LOCKED = 423; // nobody touched the tablet for a while: the step is sent once it is unlocked
  const NOBODY_THERE = [502, 503, 504]; // what a proxy says of a server that is down

  const here = document.body.dataset.person;
  const underWay = new Set(); // nonces that this page has sent and not heard of
  const news = []; // what became of steps since the page was opened
  let pause = FIRST_PAUSE_MS;
  let timer = null;

  /* What waits: one entry for each step, under its nonce. */

  const read = (key) => JSON.parse(localStorage.getItem(key));
  const steps = () =>
    Object.keys(localStorage)
      .filter((key) => key.startsWith(WAITING))
      .map(read)
      .sort((one, other) => one.since - other.since);
  const write = (step) => localStorage.setItem(WAITING + step.nonce, JSON.stringify(step));
  const forget = (step) => localStorage.removeItem(WAITING + step.nonce);
  const isBusy = (step) => underWay.has(step.nonce) || Date.now() - step.sentAt < GIVE_UP_MS;
  const isMine = (step) => step.person === here;
  const pageOf = (step) => new URL("..", new URL(step.action, location.href)).pathname;

  function keep(step) {
    try {
      write(step);
    } catch (error) {
      // The tablet's store is full or shut: the browser's own way of sending has to do.
      if (error instanceof DOMException) return false;
      throw error;
    }
    return true;
  }

  /* What was typed, in the words of the form, for who has to type it again. */

  function typedIn(form) {
    const told = [];
    for (const field of form.elements) {
      if (!field.name || !field.labels || !field.labels.length || field.value === "") continue;
      const isTick = field.type === "checkbox" || field.type === "radio";
      if (isTick && !field.checked) continue;
      const label = field.labels[0].innerText.replace("(needed)", "").trim();
      const value = field.tagName === "SELECT" ? field.selectedOptions[0].text : field.value;
      told.push(isTick ? label : `${label}: ${value}`);
    }
    return told;
  }

  function stepOf(form, submitter) {
    const data = new FormData(form);
    const nonce = data.get("nonce");
    data.delete("csrfmiddlewaretoken");
    if (submitter.name) data.append(submitter.name, submitter.value);
    return {
      nonce,
      action: form.getAttribute("action"),
      fields: [...data].filter(([, value]) => typeof value === "string"), // a file that was not chosen is one
      what: submitter.dataset.step,
      typed: typedIn(form),
      person: here,
      name: document.body.dataset.name,
      since: Date.now(),
      sentAt: 0,
      refused: null,
    };
  }

  /* Sending. The answer is one of: taken, refused, not signed in, lost. */

  function cookieToken() {
    const found = document.cookie.match(/(?:^|; )csrftoken=([^;]*)/);
    return found ? found[1] : "";
  }

  async function deliver(step, token) {
    const patience = new AbortController();
    const watch = setTimeout(() => patience.abort(), GIVE_UP_MS);
    underWay.add(step.nonce);
    write({ ...step, sentAt: Date.now() });
    try {
      const answer = await fetch(step.action, {
        method: "POST",
        body: new URLSearchParams(step.fields),
        headers: { "X-CSRFToken": token, "X-Ferrulebook-Person": step.person },
        redirect: "manual", // the server sends nobody elsewhere but to the door
        signal: patience.signal,
      });
      return await understand(answer);
    } catch (error) {
      if (error instanceof TypeError || error.name === "AbortError") return { lost: true };
      throw error;
    } finally {
      clearTimeout(watch);
      underWay.delete(step.nonce);
      const kept = localStorage.getItem(WAITING + step.nonce);
      if (kept !== null) write({ ...JSON.parse(kept), sentAt: 0 });
    }
  }

  async function understand(answer) {
    if (answer.type === "opaqueredirect") return { signIn: true };
    if (answer.status === LOCKED) {
      document.dispatchEvent(new CustomEvent("ferrulebook:locked"));
      return { signIn: true };
    }
    if (NOBODY_THERE.includes(answer.status)) return { lost: true };
    if ((answer.headers.get("Content-Type") || "").startsWith("application/json")) return answer.json();
    if (answer.ok) return { lost: true }; // not the workshop's server, but a network that asks for something
    return { refused: sentencesOf(await answer.text()) };
  }

  function sentencesOf(html) {
    const page = new DOMParser().parseFromString(html, "text/html");
    const said = page.querySelectorAll("[data-summary] p:not(.kept), main .refusal p");
    const sentences = [...said].map((p) => p.textContent.replace(/\s+/g, " ").trim());
    return sentences.length ? [...new Set(sentences)] : [page.querySelector("h1")?.textContent.trim() || page.title];
  }

  const isTheServerThere = () =>
    fetch("/static/web/mark.svg", { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(GIVE_UP_MS) }).then(
      (answer) => answer.ok,
      () => false,
    );

  function sendTheBrowsersWay(form, submitter) {
    if (submitter?.name) {
      const pressed = document.createElement("input");
      Object.assign(pressed, { type: "hidden", name: submitter.name, value: submitter.value });
      pressed.dataset.pressed = "yes";
      form.append(pressed);
    }
    form.submit();
  }

  const release = (form) => form.dispatchEvent(new CustomEvent("ferrulebook:release", { bubbles: true }));

  /* A form at the bench is sent. */

  async function take(form, submitter) {
    const step = stepOf(form, submitter);
    if (!keep(step)) return sendTheBrowsersWay(form, submitter);
    form.dataset.waits = "unheard";
    const answer = await deliver(step, form.elements.csrfmiddlewaretoken.value);
    if (answer.to || answer.refused) forget(step);
    if (answer.to) location.assign(answer.to);
    // It changed nothing: sent once more, the page says why, with all that was typed.
    else if (answer.refused) sendTheBrowsersWay(form, submitter);
    else {
      form.dataset.waits = "told";
      if (answer.signIn) write({ ...step, atTheDoor: true });
      draw();
      later();
    }
  }

  async function sendIfThere(form, submitter, otherwise) {
    if (await isTheServerThere()) return sendTheBrowsersWay(form, submitter);
    release(form);
    if (!news.some(({ words }) => words === otherwise)) news.push({ words: otherwise });
    draw();
  }

  document.addEventListener("submit", (event) => {
    const { target: form, submitter } = event;
    if (event.defaultPrevented || !form.matches("form.bench[method=post]")) return;
    const fields = [...form.elements];
    // Neither a password nor a file stays on a tablet.
    if (here === undefined || fields.some((field) => field.type === "password")) return;
    event.preventDefault();
    if (fields.some((field) => field.type === "file" && field.files.length)) {
      sendIfThere(form, submitter, "No connection: a step with a file is not kept on this tablet. Stay on this page, and send it again once the connection is back, or take the file out.");
    } else if (submitter?.dataset.step === undefined) {
      sendIfThere(form, submitter, "No connection: what you scanned was not looked up. Send it again once it is back.");
    } else take(form, submitter);
  });

  window.addEventListener("pageshow", () => {
    for (const pressed of document.querySelectorAll("input[data-pressed]")) pressed.remove();
    for (const form of document.querySelectorAll("form[data-waits]")) {
      if (!steps().some((step) => formOf(step) === form)) unlock(form);
    }
  });

  /* Sending again. */

  async function sendAgain() {
    clearTimeout(timer);
    for (const step of steps()) {
      if (!isMine(step) || step.refused || isBusy(step)) continue;
      step.atTheDoor = false;
      const answer = await deliver(step, cookieToken());
      const form = formOf(step);
      if (answer.to) {
        forget(step);
        if (location.pathname.startsWith(answer.to)) {
          location.assign(answer.to);
          return;
        }
        news.push({ words: `Sent and recorded: ${step.what}.`, page: answer.to });
      } else if (answer.refused) {
        write({ ...step, refused: answer.refused });
        if (form) unlock(form);
      } else if (answer.lost) break; // the others would be lost too
      else write({ ...step, atTheDoor: true });
    }
    draw();
    later();
  }

  const formOf = (step) =>
    [...document.querySelectorAll("form.bench")].find((form) => form.elements.nonce?.value === step.nonce);

  function unlock(form) {
    delete form.dataset.waits;
    release(form);
  }

  function later() {
    clearTimeout(timer);
    if (!steps().some((step) => isMine(step) && !step.refused)) return;
    timer = setTimeout(sendAgain, pause);
    pause = Math.min(pause * 2, LONGEST_PAUSE_MS);
  }

  function now() {
    pause = FIRST_PAUSE_MS;
    sendAgain();
  }

  /* The bar. */

  function element(name, text, more = {}) {
    const made = document.createElement(name);
    made.textContent = text;
    return Object.assign(made, more);
  }

  function button(text, act) {
    const made = element("button", text, { type: "button" });
    made.addEventListener("click", act);
    return made;
  }

  // The tablet's own time, written as all times are here.
  function clock(milliseconds) {
    const moment = new Date(milliseconds);
    const two = (number) => String(number).padStart(2, "0");
    const day = [moment.getFullYear(), moment.getMonth() + 1, moment.getDate()].map(two).join("-");
    return `${day} ${two(moment.getHours())}:${two(moment.getMinutes())}`;
  }

  function throwAway(step) {
    forget(step);
    const form = formOf(step);
    if (form) unlock(form);
    draw();
  }

  const list = (items) => {
    const made = document.createElement("ul");
    made.append(...items.map((text) => element("li", text)));
    return made;
  };

  function tellRefused(step) {
    const told = document.createElement("div");
    told.append(element("p", `Not recorded: ${step.what}. ${step.refused.join(" ")}`, { className: "what" }));
    if (step.typed.length) told.append(element("p", `What ${step.name} had typed:`), list(step.typed));
    const buttons = element("p", "", { className: "buttons" });
    buttons.append(
      element("a", "Look at it as it is now", { className: "button", href: pageOf(step) }),
      button("I have seen it: take it off", () => throwAway(step)),
    );
    told.append(buttons);
    return told;
  }

  function tellWaiting(waiting) {
    const told = document.createElement("div");
    const many = waiting.length > 1;
    const count = many ? `${waiting.length} steps wait` : "1 step waits";
    told.append(
      element("p", `${count} on this tablet: ${waiting.map((step) => step.what).join("; ")}.`, { className: "what" }),
    );
    const others = [...new Set(waiting.filter((step) => !isMine(step)).map((step) => step.name))];
    const door = waiting.find((step) => isMine(step) && step.atTheDoor);
    if (door) {
      told.append(element("p", "You are not signed in any more. Sign in again, and it is sent."));
      told.append(element("a", "Sign in", { className: "button", href: pageOf(door) }));
    } else if (waiting.some(isMine)) {
      told.append(element("p", `${many ? "They" : "It"} will be sent when the connection is back.`));
    }
    for (const name of others) {
      told.append(element("p", `What ${name} did is sent once ${name} is signed in here.`));
    }
    const more = document.createElement("details");
    more.append(element("summary", "What was typed"));
    for (const step of waiting) {
      more.append(element("p", `${step.name}, ${clock(step.since)}: ${step.what}`));
      more.append(list(step.typed), button("Throw it away", () => throwAway(step)));
    }
    if (waiting.some(isMine)) told.append(button("Send now", now));
    told.append(more);
    return told;
  }

  function draw() {
    document.querySelector(".waits")?.remove();
    const kept = steps();
    const waiting = kept.filter((step) => !step.refused && !underWay.has(step.nonce));
    const refused = kept.filter((step) => step.refused);
    if (!waiting.length && !refused.length && !news.length) return;
    const bar = element("section", "", { className: "waits" });
    bar.setAttribute("aria-label", "Steps on this tablet");
    bar.setAttribute("role", "status");
    for (const { words, page } of news) {
      const told = element("p", words, { className: "what" });
      if (page) told.append(" ", element("a", "Go on with it", { href: page }));
      bar.append(told);
    }
    bar.append(...refused.map(tellRefused));
    if (waiting.length) bar.append(tellWaiting(waiting));
    document.querySelector("main").prepend(bar);
  }

  window.addEventListener("online", now);
  document.addEventListener("ferrulebook:unlocked", now);
  window.addEventListener("storage", (event) => event.key?.startsWith(WAITING) && draw());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && now());
  window.addEventListener("pagehide", () => {
    for (const step of steps()) if (underWay.has(step.nonce)) write({ ...step, sentAt: 0 });
  });
  draw();
  sendAgain();
})();
