// The page: what it is, what happens to it, and the time that goes by.

const STEP_MIN = 10;
const FRAME_MS = 90;
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
  let played;
  let chart;
  let timer;
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

  const lastMinute = () => Math.floor(played.scene.duration_ms / 60000);

  // Everything that changes with the time looked at.
  const showTime = () => {
    state.at = Math.min(Math.max(0, state.at), lastMinute());
    document.getElementById("clock").textContent = clockText(state.at);
    const range = document.getElementById("at");
    range.value = state.at;
    range.setAttribute("aria-valuetext", clockText(state.at));
    showNow(chart, played, state);
    played.runs.forEach((run, index) => {
      if (run.failed !== null) return;
      const place = document.getElementById(`drawing${index}`);
      place.innerHTML = drawingOf(run, played.scene, state, index, place.clientWidth);
      document.getElementById(`dry${index}`).hidden = run.dry === undefined || run.dry.minute > state.at;
      document.getElementById(`words${index}`).textContent = wordsOf(run, played.scene, state);
    });
    scoresInto(played, controls, state);
    doneInto(page, controls, state);
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
    if (timer === undefined) note(link);
  };

  const showChart = () => {
    chart = chartOf(played, Math.max(320, document.getElementById("chart").clientWidth));
    document.getElementById("chart").innerHTML = chart.svg;
  };

  // Computes what the state comes to, and shows it.
  const compute = () => {
    try {
      played = ask({ play: setupOf(state) });
      complain(undefined);
    } catch (error) {
      complain(error);
      return false;
    }
    document.getElementById("at").max = lastMinute();
    document.getElementById("every").textContent = lengthText(played.runs[0].tallies.every_ms / 60000);
    const dryWords = (run) => {
      run.dry = ranDry(run, played.scene);
      return run.dry === undefined ? "" : `${run.dry.heater} ran dry. ${CAUTIONS.ran_dry.text}`;
    };
    document.getElementById("panels").innerHTML = played.runs.map((run, index) => {
      const key = `<svg width="44" height="12" viewBox="0 0 44 12" style="width:44px" aria-hidden="true"><path class="line s${index}" stroke-width="3" stroke-dasharray="${DASHES[index]}" d="M0 6H44"/></svg>`;
      const inside = run.failed === null ? `<div id="drawing${index}"></div><p id="words${index}"></p><p class="dry" id="dry${index}" hidden>${escaped(dryWords(run))}</p>` : `<p>It gives no result here: ${escaped(run.failed)}</p>`;
      return `<article class="panel"><h3>${key}${escaped(run.strategy)} <span class="unseen">, ${DASH_WORDS[index]} in the chart</span></h3>${inside}</article>`;
    }).join("");
    showChart();
    showTime();
    return true;
  };

  const pause = () => {
    clearInterval(timer);
    timer = undefined;
    document.getElementById("play").textContent = "Play";
  };

  // A whole new state: from a link, or another scenario. Whether it could be computed.
  const enter = (next) => {
    pause();
    try {
      controls = ask({ controls: setupOf(next) });
    } catch (error) {
      complain(error);
      return false;
    }
    const before = state;
    state = next;
    state.strategies = state.strategies.filter((name) => controls.strategies.includes(name)).slice(0, choices.most_strategies);
    if (state.strategies.length === 0) state.strategies = controls.strategies.slice(0, 1);
    showLesson(page, lessons, state.scenario);
    scenariosInto(choices, controls, state);
    strategiesInto(choices, controls, state);
    slidersInto(page, controls, state);
    actsInto(page, controls);
    const { files } = state;
    packFiles(files).then((letters) => {
      if (state.files !== files) return;
      packed = letters;
      showLink();
    });
    if (compute()) return true;
    // What was shown stays, with the reason.
    if (played !== undefined) {
      const why = message.textContent;
      enter(before);
      complain(new Error(why));
    }
    return false;
  };

  // Files that somebody picked or dropped: the last scenario among them is shown, strategies stand beside those chosen.
  const open = async (picked) => {
    for (const file of picked) {
      try {
        if (file.size > LONGEST_FILE) throw new Error(`${file.name}: ${file.size} bytes are no scenario; no more than ${LONGEST_FILE} are read`);
        const own = { name: file.name, text: textOf(file.name, await file.arrayBuffer()) };
        const { kind } = ask({ opened: own });
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
      const files = withoutLessons(lessons, state.files);
      const fresh = freshState(scenario, state.strategies, files);
      const fanned = ask({ controls: setupOf(fresh) }).sliders.some((slider) => slider.key.startsWith("fan."));
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
      page.change((to) => to.acts.push({ what, of, from_min: to.at }));
      say(`Done at ${clockText(state.at)}. The week is computed anew.`);
    },
    askUndo(nth) {
      pause();
      const act = state.acts[nth];
      const undo = () => {
        page.change((to) => { to.acts[nth].to_min = Math.max(to.at, act.from_min + 1); });
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

  const moveTo = (minute) => {
    state.at = minute;
    showTime();
  };
  const play = () => {
    if (state.at >= lastMinute()) state.at = 0;
    document.getElementById("play").textContent = "Pause";
    timer = setInterval(() => {
      const hours = Number(document.getElementById("speed").value);
      state.at = Math.floor(state.at + (hours * 60 * FRAME_MS) / 1000);
      if (state.at >= lastMinute()) pause();
      showTime();
    }, FRAME_MS);
  };
  const on = (id, what) => document.getElementById(id).addEventListener("click", what);
  on("play", () => {
    if (timer === undefined) play();
    else {
      pause();
      showTime();
    }
  });
  on("rewind", () => { pause(); moveTo(0); });
  on("back", () => { pause(); moveTo(state.at - STEP_MIN); });
  on("step", () => { pause(); moveTo(state.at + STEP_MIN); });
  on("end", () => { pause(); moveTo(lastMinute()); });
  on("reset", () => { page.change((to) => { to.sliders = {}; }); slidersInto(page, controls, state); });
  on("copy", async () => {
    const told = document.getElementById("copy");
    try {
      await navigator.clipboard.writeText(location.href.split("#")[0] + linkOf(state, packed));
      told.textContent = "Copied";
    } catch {
      told.textContent = "Not allowed here: copy the address";
    }
  });
  on("save", () => {
    const file = document.createElement("a");
    file.href = URL.createObjectURL(new Blob([played.toml], { type: "application/toml" }));
    file.download = `${state.scenario.replace(/(-live)?\.toml$/, "")}-live.toml`;
    file.click();
    setTimeout(() => URL.revokeObjectURL(file.href), 10000);
  });
  document.getElementById("at").addEventListener("input", (event) => { pause(); moveTo(Number(event.target.value)); });

  const fromLink = async () => {
    try {
      const linked = await stateOfLink(location.hash);
      return linked !== undefined && enter(linked);
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
    resized = setTimeout(() => { if (played !== undefined) { showChart(); showTime(); } }, 150);
  });

  // An address that is not the page's own leads away from it.
  const skip = document.querySelector(".skip");
  skip.addEventListener("click", (event) => {
    if (!within) return;
    event.preventDefault();
    document.getElementById("stage").focus();
  });

  document.body.classList.toggle("within", within);
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
