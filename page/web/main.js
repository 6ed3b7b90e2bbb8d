// The page: what it is, what happens to it, and the time that goes by.

const NOTED_AFTER_MS = 400;
// As the program has it.
const LONGEST_FILE = 1000000;
const MOST_FILES = 8;

async function main() {
  const message = document.getElementById("message");
  const complain = (error) => {
    message.hidden = error === undefined;
    message.textContent = error === undefined ? "" : error.message;
    // Marks below a line stand where they point to.
    message.classList.toggle("lined", message.textContent.includes("\n"));
  };
  let ask;
  try {
    ask = await wakeModel();
  } catch (error) {
    complain(new Error(`The model cannot run in this browser: ${error.message}`));
    return;
  }
  const choices = ask({ choices: {} });
  const lessons = ask({ lessons: {} });
  const usual = () => (START === null ? freshState(choices.scenarios[0].name, ["on-off", "lead-lag"], []) : stateOf(START, START.files));
  let state = usual();
  let controls;
  let runs;
  let chart;
  // The state's own files, for its link.
  let packed = "";
  // Within another page there is no address of one's own.
  const within = location.protocol === "about:";

  // For those who hear the page.
  const say = (words) => { document.getElementById("said").textContent = words; };
  // Browsers bear only so many changes of an address in a while.
  let noted;
  const note = (link) => {
    clearTimeout(noted);
    noted = setTimeout(() => history.replaceState(null, "", link), NOTED_AFTER_MS);
  };

  const lastMinute = () => Math.floor(Math.max(...runs.map((run) => run.scene.duration_ms)) / 60000);

  // Everything that changes with the time looked at.
  const showTime = () => {
    state.at = Math.min(Math.max(0, state.at), lastMinute());
    document.getElementById("clock").textContent = clockText(state.at);
    const range = document.getElementById("at");
    range.value = state.at;
    range.setAttribute("aria-valuetext", clockText(state.at));
    const [from, to] = stretchAt(state.at, state.span, chart.last);
    if (from !== chart.from || to !== chart.to) showChart();
    showNow(chart, state);
    showPanels(runs, state.at);
    scoresInto(runs, controls, state);
    doneInto(page, controls, state, runs.map((run) => run.label), lastMinute());
    showLink();
  };

  const showLink = () => {
    const link = within ? undefined : linkOf(state, packed);
    const why = within ? "A link leads to a page of its own; here, save the file." : "This is too long for a link: save the file, and open it again.";
    document.getElementById("no-link").textContent = why;
    document.getElementById("no-link").hidden = link !== undefined;
    for (const id of ["link", "copy"]) document.getElementById(id).hidden = link === undefined;
    if (link === undefined) return;
    document.getElementById("link").setAttribute("href", link);
    if (!time.isPlaying()) note(link);
  };

  const showChart = () => {
    chart = chartOf(runs, Math.max(300, document.getElementById("chart").clientWidth), state.at, state.span);
    document.getElementById("chart").innerHTML = chart.svg;
    document.getElementById("dose-words").textContent = `${chart.differ ? "These tanks want and bear different temperatures: only lines that all share are drawn. " : ""}${doseWords(runs, chart.bands)}`;
  };

  // Every run of a state, each with what it belongs to.
  const played = (of) => {
    const lesson = lessons.find((one) => one.name === of.lesson);
    return setUpsOf(of, lessons).flatMap((setup, nth) => {
      const { scene, kept, runs } = ask({ play: setup });
      return runs.map((run) => ({ ...run, scene, scenario_file: kept, acts: setup.acts, label: lesson === undefined ? shownName(run.strategy) : restated(lesson.set_ups[nth].label) }));
    });
  };

  // Computes what the state comes to, and shows it.
  const compute = () => {
    try {
      runs = played(state);
      complain(undefined);
    } catch (error) {
      complain(error);
      return false;
    }
    for (const run of runs) run.dry = ranDry(run);
    document.getElementById("at").max = lastMinute();
    state.at = Math.min(state.at, lastMinute());
    const span = document.getElementById("span");
    if (![...span.options].some((option) => Number(option.value) === state.span)) state.span = 0;
    span.value = state.span;
    const every = lengthText(runs[0].tallies.every_ms / 60000);
    for (const place of document.querySelectorAll("#every, .every")) place.textContent = every;
    const found = lessonOf(lessons, state);
    document.getElementById("teaches").textContent = teachesText(controls, state, found, runs);
    panelsInto(runs, state.lesson !== null);
    partsInto(runs);
    keepInto(runs);
    showChart();
    showTime();
    return true;
  };

  // What can be turned and done: where several tanks stand beside each other, what can be done to any of them.
  const controlsOf = (of) => {
    const each = setUpsOf(of, lessons).map((setup) => ask({ controls: setup }));
    if (of.lesson === null) return { ...each[0], each };
    const acts = each.flatMap((one) => one.acts);
    const kinds = [...new Set(acts.map((act) => act.what))];
    const united = kinds.map((what) => {
      const alike = acts.filter((act) => act.what === what);
      return { ...alike[0], targets: [...new Set(alike.flatMap((act) => act.targets))] };
    });
    return { title: "", summary: "", sliders: [], acts: united, own_scenarios: [], strategies: [], each };
  };

  // A whole new state: from a link, another scenario, a lesson. Whether it could be computed.
  const enter = (next) => {
    time.pause();
    try {
      controls = controlsOf(next);
    } catch (error) {
      complain(error);
      return false;
    }
    const before = state;
    state = next;
    if (state.lesson === null) {
      state.strategies = state.strategies.filter((name) => controls.strategies.includes(name)).slice(0, choices.most_strategies);
      if (state.strategies.length === 0) state.strategies = controls.strategies.slice(0, 1);
    } else {
      state.each = controls.each.map((_, nth) => (Array.isArray(state.each[nth]) ? state.each[nth] : []));
    }
    showLesson(page, lessons, state);
    showControls();
    const { files } = state;
    packFiles(files).then((letters) => {
      if (state.files !== files) return;
      packed = letters;
      showLink();
    });
    if (compute()) return true;
    // What was shown stays, with the reason.
    if (runs !== undefined) {
      const why = message.textContent;
      enter(before);
      complain(new Error(why));
    }
    return false;
  };

  const showControls = () => {
    document.getElementById("units").value = reader.us ? "us" : "metric";
    scenariosInto(choices, controls, state);
    strategiesInto(choices, controls, state);
    slidersInto(page, controls, state);
    actsInto(page, controls);
  };

  // Files that somebody picked or dropped: the last scenario among them is shown, strategies stand beside those chosen.
  const open = async (picked) => {
    for (const file of picked) {
      try {
        if (file.size > LONGEST_FILE) throw new Error(`${file.name}: ${file.size} bytes are no scenario; no more than ${LONGEST_FILE} are read`);
        const own = { name: file.name, text: textOf(file.name, await file.arrayBuffer()) };
        const { kind } = ask({ opened: own });
        if (kind === "strategy" && state.lesson !== null) throw new Error(`${file.name} is a strategy: put one tank of the lesson on the page alone, and open it again`);
        const files = [...state.files.filter((one) => one.name !== own.name), own].slice(-MOST_FILES);
        const strategies = state.strategies.filter((name) => name !== own.name);
        const beside = [...strategies.slice(0, choices.most_strategies - 1), own.name];
        const next = kind === "scenario" ? freshState(own.name, state.strategies, files) : { ...structuredClone(state), strategies: beside, files };
        if (enter(next)) say(`Opened: ${own.name}. The week is computed.`);
      } catch (error) {
        complain(error);
      }
    }
    if (!message.hidden) message.scrollIntoView({ block: "nearest" });
  };

  const page = {
    // Where there are fans, somebody should command them.
    choose(scenario) {
      if (scenario === state.scenario) return;
      const files = withoutLessons(lessons, state.files);
      const strategies = state.strategies.length === 0 ? ["on-off"] : state.strategies;
      const fresh = freshState(scenario, strategies, files);
      const fanned = controlsOf(fresh).sliders.some((slider) => slider.key.startsWith("fan."));
      enter(fanned ? freshState(scenario, ["on-off", "heat-and-fan"], files) : fresh);
    },
    enter,
    lesson: (name) => ask({ lesson: { name } }),
    leaveLesson: () => enter(usual()),
    change(how) {
      const before = structuredClone(state);
      how(state);
      if (!compute()) state = before;
      strategiesInto(choices, controls, state);
    },
    act(what, of) {
      page.change((to) => actLists(to).forEach((acts, nth) => {
        const doable = controls.each[nth].acts.some((one) => one.what === what && one.targets.includes(of));
        const done = acts.some((act) => act.what === what && act.of === of && isUnderWay(act, to.at));
        if (doable && !done) acts.push({ what, of, from_min: to.at });
      }));
      say(`Done at ${clockText(state.at)}. The week is computed anew.`);
    },
    askUndo(key) {
      time.pause();
      const { act } = alike(actLists(state)).find((one) => one.key === key);
      const undo = () => {
        page.change((to) => {
          for (const one of actLists(to).flat()) if (actKey(one) === key) one.to_min = Math.max(to.at, one.from_min + 1);
        });
        say(`Undone at ${clockText(state.at)}. The week is computed anew.`);
      };
      if (CAUTIONS.acts[act.what].length === 0) {
        undo();
        return;
      }
      const dialog = document.getElementById("caution");
      const doable = controls.acts.find((one) => one.what === act.what);
      document.getElementById("caution-title").textContent = `Before this: ${doable.undo_words}${act.of === "" ? "" : ` (${act.of})`}`;
      cautionsInto("caution-list", CAUTIONS.acts[act.what], "caution-mark");
      document.getElementById("caution-yes").onclick = () => {
        dialog.close();
        undo();
      };
      document.getElementById("caution-no").onclick = () => dialog.close();
      dialog.showModal();
    },
  };

  const time = transportOf({
    at: () => state.at,
    last: lastMinute,
    moveTo(minute) {
      state.at = minute;
      showTime();
    },
    began: bringChartIntoView,
  });

  document.getElementById("reset").addEventListener("click", () => {
    page.change((to) => { to.sliders = {}; });
    slidersInto(page, controls, state);
  });
  document.getElementById("span").addEventListener("change", (event) => {
    state.span = Number(event.target.value);
    showChart();
    showTime();
  });
  document.getElementById("units").addEventListener("change", (event) => {
    reader.us = event.target.value === "us";
    showLesson(page, lessons, state);
    showControls();
    compute();
  });
  document.getElementById("copy").addEventListener("click", async () => {
    const told = document.getElementById("copy");
    try {
      await navigator.clipboard.writeText(location.href.split("#")[0] + linkOf(state, packed));
      told.textContent = "Copied";
    } catch {
      told.textContent = "Not allowed here: copy the address";
    }
  });

  const fromLink = async () => {
    try {
      const linked = await toldInLink(location.hash);
      if (linked === undefined) return false;
      reader.us = (linked.told.units ?? UNITS) === "us";
      return enter(stateOf(linked.told, linked.files));
    } catch (error) {
      complain(new Error(`This link cannot be read: ${error.message}`));
      return false;
    }
  };
  addEventListener("hashchange", fromLink);
  document.getElementById("open").addEventListener("change", async (event) => {
    const picked = [...event.target.files];
    // So that the same file may be picked again when it was mended.
    event.target.value = "";
    await open(picked);
  });
  addEventListener("dragover", (event) => event.preventDefault());
  addEventListener("drop", (event) => {
    event.preventDefault();
    open([...event.dataTransfer.files]);
  });
  let resized;
  addEventListener("resize", () => {
    clearTimeout(resized);
    resized = setTimeout(() => { if (runs !== undefined) { showChart(); showTime(); } }, 150);
  });

  // An address that is not the page's own leads away from it.
  const skip = document.querySelector(".skip");
  skip.addEventListener("click", (event) => {
    if (!within) return;
    event.preventDefault();
    document.getElementById("stage").focus();
  });

  document.body.classList.toggle("within", within);
  keepClearOfBar();
  choicesInto(page, choices);
  lessonsInto(page, lessons);
  cautionsInto("cautions", CAUTIONS.always, "mark");
  if (!await fromLink()) {
    const said = message.textContent;
    enter(usual());
    if (said !== "") complain(new Error(said));
  }
  document.body.dataset.ready = "yes";
}

main();
