// What somebody does to the tanks: at the time shown, to every tank on the page that has what it is done to.

// So late that little can come of an act, minutes before the end.
const LATE_MIN = 6 * 60;

// "weld relay left shut", "cut the power"
function actWords(doable, target) {
  const [verb, ...rest] = doable.words.split(" ");
  return target === "" ? doable.words : [verb, target, ...rest].join(" ");
}

function actsInto(page, controls) {
  const box = document.getElementById("acts");
  const button = (doable, target, words) => `<button type="button" data-what="${escaped(doable.what)}" data-of="${escaped(target)}" aria-label="${escaped(actWords(doable, target))}">${escaped(words)}</button>`;
  box.innerHTML = controls.acts.map((doable) => {
    const toAll = doable.targets[0] === "";
    const buttons = doable.targets.map((target) => button(doable, target, toAll ? doable.words : target));
    return `<p class="act">${toAll ? "" : `<span>${escaped(doable.words)}:</span>`}${buttons.join("")}</p>`;
  }).join("");
  for (const button of box.querySelectorAll("button")) {
    button.addEventListener("click", () => page.act(button.dataset.what, button.dataset.of));
  }
}

// Acts that are alike are told once, with the places of the tanks they are done to.
function alike(lists) {
  const found = new Map();
  lists.forEach((list, nth) => list.forEach((act) => {
    const key = actKey(act);
    if (!found.has(key)) found.set(key, { key, act, tanks: [] });
    found.get(key).tanks.push(nth);
  }));
  return [...found.values()].sort((a, b) => a.act.from_min - b.act.from_min);
}

function actKey(act) {
  return JSON.stringify([act.what, act.of, act.from_min, act.to_min ?? null]);
}

// What is done and what is still to come, both at the time shown.
function doneInto(page, controls, state, labels, lastMinute) {
  const lists = actLists(state);
  const doable = (act) => controls.acts.find((one) => one.what === act.what);
  const words = ({ act, tanks }) => {
    const until = act.to_min == null ? "" : `, undone ${clockText(act.to_min)}`;
    const of = tanks.length === lists.length ? "" : ` (${tanks.map((nth) => labels[nth]).join("; ")})`;
    return `${clockText(act.from_min)}: ${doable(act) === undefined ? act.what : actWords(doable(act), act.of)}${of}${until}`;
  };
  const line = (one) => {
    const { act, key } = one;
    const undo = isUnderWay(act, state.at) ? `<button type="button" data-undo="${escaped(key)}" aria-label="Undo: ${escaped(doable(act)?.undo_words ?? "")} (${escaped(words(one))})">Undo…</button>` : "";
    return `<li>${escaped(words(one))}<br>${undo}<button type="button" data-forget="${escaped(key)}" aria-label="Forget (${escaped(words(one))})">Forget</button></li>`;
  };
  const all = alike(lists);
  const [done, ahead] = [all.filter((one) => one.act.from_min <= state.at), all.filter((one) => one.act.from_min > state.at)];
  listInto("done", done.length > 0 ? done.map(line).join("") : "<li>nothing yet</li>", page);
  listInto("ahead", ahead.map(line).join(""), page);
  document.getElementById("ahead-title").hidden = ahead.length === 0;

  const left = lastMinute - state.at;
  const note = document.getElementById("acts-note");
  note.textContent = left <= 0
    ? "The run ends at the time shown: nothing would come of it. Go back first, by “Rewind” or the slider above."
    : `At the time shown, ${clockText(state.at)}.${left < LATE_MIN ? ` Only ${lengthText(left)} are left to see what comes of it; go back for more.` : ""}`;
  note.classList.toggle("told", left < LATE_MIN);
  for (const button of document.querySelectorAll("#acts button")) {
    const isDone = (list) => list.some((act) => act.what === button.dataset.what && act.of === button.dataset.of && isUnderWay(act, state.at));
    button.disabled = left <= 0 || lists.every(isDone);
  }
}

function listInto(id, html, page) {
  const list = document.getElementById(id);
  if (list.dataset.shown === html) return;
  list.dataset.shown = html;
  list.innerHTML = html;
  for (const button of list.querySelectorAll("[data-undo]")) button.addEventListener("click", () => page.askUndo(button.dataset.undo));
  for (const button of list.querySelectorAll("[data-forget]")) {
    button.addEventListener("click", () => page.change((to) => {
      for (const acts of actLists(to)) acts.splice(0, acts.length, ...acts.filter((act) => actKey(act) !== button.dataset.forget));
    }));
  }
}
