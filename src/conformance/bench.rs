//! A bench: a wiring to bind to, readings that are made up, commands carried out as a run does.

use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{ContactKind, ProbePurpose, Role};
use tepid_sim::strategy::{
    Announced, AnnouncedKind, BindError, Command, Commands, ContactState, Readings, Strategy, StrategyRecipe,
    WiredContact, WiredHeater, WiredProbe, Wiring,
};
use tepid_sim::time::{HOUR, Millis};

/// Target of the bench, °C.
pub(super) const TARGET_C: f64 = 25.5;
/// Names that a strategy asks for are added to the bench, no more than so many.
const NAMES_ADDED: usize = 32;

/// A wiring that the strategy applies to: a cut-out, two relays that heat with a dial behind each, relays of a fan, of a chiller and of the room's
/// heating and cooling, a probe in the room, and whatever it names.
pub(super) fn bench_wiring(recipe: &dyn StrategyRecipe) -> Result<Wiring, String> {
    let mut wiring = Wiring {
        target_c: TARGET_C,
        band_c: (25.0, 26.0),
        probes: vec![
            probe("monitor", ProbePurpose::Monitor),
            probe("main", ProbePurpose::Control),
            WiredProbe {
                tank: None,
                ..probe("room", ProbePurpose::Monitor)
            },
        ],
        contacts: vec![
            contact("cut-out", None),
            contact("relay left", Some(Role::Heat)),
            contact("relay right", Some(Role::Heat)),
            contact("relay fan", Some(Role::Cool)),
            WiredContact {
                only_chillers: true,
                ..contact("relay chiller", Some(Role::Cool))
            },
            dial("dial left"),
            dial("dial right"),
            contact("relay room heating", Some(Role::HeatRoom)),
            contact("relay room cooling", Some(Role::CoolRoom)),
        ],
        heaters: [("left", 1, 5), ("right", 2, 6)]
            .map(|(name, relay, dial)| WiredHeater {
                name: name.to_owned(),
                tank: "tank".to_owned(),
                power_w: 100.0,
                chain: vec![ContactId(0), ContactId(relay), ContactId(dial)],
            })
            .to_vec(),
    };
    for _ in 0..NAMES_ADDED {
        match recipe.bind(&wiring) {
            Ok(_) => return Ok(wiring),
            Err(BindError::Unknown {
                what: "probe", name, ..
            }) => {
                wiring.probes.push(probe(&name, ProbePurpose::Monitor));
            }
            Err(BindError::Unknown { what, name, .. }) if what.starts_with("contact") => {
                let role = if what.contains("cools") {
                    Role::Cool
                } else {
                    Role::Heat
                };
                wiring.contacts.push(contact(&name, Some(role)));
            }
            Err(other) => return Err(other.to_string()),
        }
    }
    Err(format!("it names more than {NAMES_ADDED} things"))
}

fn probe(name: &str, purpose: ProbePurpose) -> WiredProbe {
    WiredProbe {
        name: name.to_owned(),
        tank: Some("tank".to_owned()),
        purpose,
    }
}

fn contact(name: &str, role: Option<Role>) -> WiredContact {
    WiredContact {
        name: name.to_owned(),
        kind: if role.is_some() {
            ContactKind::Relay
        } else {
            ContactKind::CutOut
        },
        role,
        power_w: 100.0,
        only_chillers: false,
    }
}

fn dial(name: &str) -> WiredContact {
    WiredContact {
        kind: ContactKind::Thermostat,
        ..contact(name, None)
    }
}

/// A course of readings that takes a strategy through its states, °C: far colder and far warmer than any target, then
/// steps around the target, with 0.02 K of ripple.
pub(super) fn course_c(step: usize) -> f64 {
    let level_c = match step % 800 {
        slow @ 0..320 => 15.0 + 20.0 * slow as f64 / 320.0,
        slow @ 320..480 => 35.0 - 20.0 * (slow - 320) as f64 / 160.0,
        quick => {
            let swing = [
                -2.0, -0.6, -0.25, -0.1, 0.0, 0.1, 0.3, 0.7, 2.0, -0.4, 0.4, -0.4, 0.4, 0.05, -0.2, 1.0,
            ];
            TARGET_C + swing[(quick - 480) / 20 % swing.len()]
        }
    };
    level_c + 0.02 * (step % 3) as f64
}

/// A strategy on the bench.
pub(super) struct Bench<'a> {
    strategy: Box<dyn Strategy>,
    wiring: &'a Wiring,
    interval_ms: Millis,
    pub(super) now_ms: Millis,
    pub(super) states: Vec<ContactState>,
    /// When each contact last changed; `None`: not yet.
    since_ms: Vec<Option<Millis>>,
    /// Shortest time each contact stayed closed and open between two changes, ms.
    pub(super) shortest_ms: Vec<[Option<Millis>; 2]>,
    pub(super) commands: Commands,
}

impl<'a> Bench<'a> {
    pub(super) fn new(recipe: &dyn StrategyRecipe, wiring: &'a Wiring) -> Result<Self, String> {
        let contacts = wiring.contacts.len();
        Ok(Self {
            strategy: recipe.bind(wiring).map_err(|error| error.to_string())?,
            wiring,
            interval_ms: recipe.interval_ms(),
            now_ms: 0,
            states: vec![ContactState::Open; contacts],
            since_ms: vec![None; contacts],
            shortest_ms: vec![[None; 2]; contacts],
            commands: Commands::default(),
        })
    }

    /// One decision with this reading of every probe, and the time up to the next one.
    pub(super) fn step(&mut self, reading_c: Option<f64>) -> Result<(), String> {
        let seen = Readings {
            now_ms: self.now_ms,
            probes_c: vec![reading_c; self.wiring.probes.len()],
            drawn_w: self
                .wiring
                .heaters
                .iter()
                .map(|heater| {
                    let mut commanded = heater
                        .chain
                        .iter()
                        .filter(|contact| self.wiring.contacts[contact.0].role.is_some());
                    let on = commanded.all(|contact| self.states[contact.0].is_closed());
                    if on { heater.power_w } else { 0.0 }
                })
                .collect(),
            announced: vec![Announced {
                name: "feeding".to_owned(),
                kind: AnnouncedKind::PumpStopped,
                start_ms: self.now_ms + HOUR,
                end_ms: Some(self.now_ms + 2 * HOUR),
                new_water: None,
            }],
        };
        self.commands.clear();
        self.strategy
            .decide(&seen, &mut self.commands)
            .map_err(|failure| {
                format!(
                    "after {:.1} h: {}",
                    tepid_sim::time::hours(self.now_ms),
                    failure.reason
                )
            })?;
        self.only_what_it_may()?;
        let mut due: Vec<Command> = self
            .commands
            .list()
            .iter()
            .copied()
            .filter(|command| command.delay_ms < self.interval_ms)
            .collect();
        due.sort_by_key(|command| command.delay_ms);
        for command in due {
            self.carry_out(command);
        }
        self.now_ms += self.interval_ms;
        Ok(())
    }

    fn carry_out(&mut self, command: Command) {
        let contact = command.contact.0;
        if self.states[contact] == command.state {
            return;
        }
        let at_ms = self.now_ms + command.delay_ms;
        if let Some(since_ms) = self.since_ms[contact] {
            let shortest = &mut self.shortest_ms[contact][usize::from(self.states[contact].is_closed())];
            let stayed_ms = at_ms - since_ms;
            *shortest = Some(shortest.map_or(stayed_ms, |known_ms| known_ms.min(stayed_ms)));
        }
        self.states[contact] = command.state;
        self.since_ms[contact] = Some(at_ms);
    }

    /// A command is for a contact that is there and takes commands.
    fn only_what_it_may(&self) -> Result<(), String> {
        for command in self.commands.list() {
            match self.wiring.contacts.get(command.contact.0) {
                None => {
                    return Err(format!(
                        "it commands contact number {}; there are {}",
                        command.contact.0,
                        self.wiring.contacts.len()
                    ));
                }
                Some(contact) if contact.role.is_none() => {
                    return Err(format!("it commands `{}`, which takes no commands", contact.name));
                }
                Some(_) => {}
            }
        }
        Ok(())
    }

    /// No power for so long: no decisions, contacts open.
    pub(super) fn outage(&mut self, length_ms: Millis) {
        self.now_ms += length_ms;
        self.states.fill(ContactState::Open);
        self.since_ms.fill(None);
    }

    /// Names of the contacts that are closed.
    pub(super) fn closed(&self) -> Vec<&str> {
        let named = self.states.iter().zip(&self.wiring.contacts);
        named
            .filter(|(state, _)| state.is_closed())
            .map(|(_, contact)| contact.name.as_str())
            .collect()
    }

    /// The roles of the contacts that are closed.
    pub(super) fn closed_roles(&self) -> impl Iterator<Item = Role> {
        let named = self.states.iter().zip(&self.wiring.contacts);
        named
            .filter(|(state, _)| state.is_closed())
            .filter_map(|(_, contact)| contact.role)
    }
}
