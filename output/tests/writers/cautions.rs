//! Every effect has its cautions or a reason for none, and cautions reach every format.

use tepid_output::cautions::{CalledFor, Caution, for_body, for_effect, gathered};
use tepid_output::wording::Units;
use tepid_output::{csv_text, json, table};
use tepid_sim::ids::{
    BackupId, BoxId, ChillerId, CircuitId, ContactId, FanId, HeaterId, LightId, ProbeId, PumpId, TankId,
};
use tepid_sim::scenario::{Cover, Effect, Outputs, Restart, RoomDevice};

use crate::examples;
use crate::pinned::run;

/// One of each variant.
fn effects() -> Vec<Effect> {
    vec![
        Effect::ContactWelded(ContactId(0)),
        Effect::ContactStuckOpen(ContactId(0)),
        Effect::BoxWelded(BoxId(0)),
        Effect::BoxStuckOpen(BoxId(0)),
        Effect::ContactChatters {
            contact: ContactId(0),
            period_ms: 2000,
        },
        Effect::HeaterDead(HeaterId(0)),
        Effect::DialOff {
            contact: ContactId(0),
            by_k: 4.0,
        },
        Effect::DialDrifts {
            contact: ContactId(0),
            k_per_day: 1.0,
        },
        Effect::DialSet {
            contact: ContactId(0),
            opens_above_c: 78.0,
        },
        Effect::ControllerHung {
            outputs: Outputs::Hold,
            restart: Restart::Lost,
        },
        Effect::PowerOut,
        Effect::MainsVoltage { of_nominal_frac: 0.9 },
        Effect::CircuitTripped(CircuitId(0)),
        Effect::BackupDead(BackupId(0)),
        Effect::PumpStopped(PumpId(0)),
        Effect::ProbeOutOfWater(ProbeId(0)),
        Effect::ProbeSilent(ProbeId(0)),
        Effect::ProbeOffset {
            probe: ProbeId(0),
            by_k: -2.0,
        },
        Effect::ProbeDrifts {
            probe: ProbeId(0),
            k_per_day: 0.5,
        },
        Effect::ProbeStuck(ProbeId(0)),
        Effect::ProbeReads {
            probe: ProbeId(0),
            reading_c: 85.0,
        },
        Effect::ProbeNoisy {
            probe: ProbeId(0),
            noise_k: 0.5,
        },
        Effect::ProbeInTank {
            probe: ProbeId(0),
            tank: TankId(1),
        },
        Effect::FanStopped(FanId(0)),
        Effect::ChillerDead(ChillerId(0)),
        Effect::ChillerBlocked {
            chiller: ChillerId(0),
            left_frac: 0.3,
        },
        Effect::LightOut(LightId(0)),
        Effect::LightLeftOn(LightId(0)),
        Effect::Covered {
            tank: TankId(0),
            cover: Cover::Open,
        },
        Effect::HeatersUnplugged,
        Effect::HeaterUnplugged(HeaterId(0)),
        Effect::HeatersHeldOff,
        Effect::Leak {
            tank: TankId(0),
            rate_kg_per_s: 0.01,
            height_m: 0.1,
        },
        Effect::TopOffStopped,
        Effect::TopOffStuckOn { rate_kg_per_s: 0.01 },
        Effect::WaterChange {
            tank: TankId(0),
            share_frac: 0.2,
            temp_c: 22.0,
            salinity_g_per_kg: 35.0,
        },
        Effect::RoomDeviceOff(RoomDevice::Heating),
        Effect::RoomDeviceStuckOn(RoomDevice::Heating),
        Effect::RoomShift { by_k: 5.0 },
        Effect::RoomCooled {
            by_k: 3.0,
            k_per_h: 2.0,
        },
        Effect::SealedIce {
            tank: TankId(0),
            k_per_h: 0.5,
        },
        Effect::SidesWrapped {
            tank: TankId(0),
            extra_m2_k_per_w: 0.3,
        },
        Effect::BackupStarted(BackupId(0)),
        Effect::NetworkDown,
        Effect::AlertsMuted,
    ]
}

/// The variants of `Effect` as its source has them, so that a new one turns these tests red.
fn variants_in_source() -> Vec<String> {
    let source = include_str!("../../../sim/src/scenario/happening.rs");
    let body = source
        .split("pub enum Effect {")
        .nth(1)
        .expect("the enum is there")
        .split("\n}")
        .next()
        .expect("the enum ends");
    body.lines()
        .filter_map(|line| line.strip_prefix("    "))
        .filter(|line| line.starts_with(|first: char| first.is_ascii_uppercase()))
        .map(|line| {
            line.chars()
                .take_while(|letter| letter.is_alphanumeric())
                .collect()
        })
        .collect()
}

#[test]
fn every_effect_calls_for_cautions_or_has_a_reason_for_none() {
    let tried: Vec<String> = effects()
        .iter()
        .map(|effect| {
            format!("{effect:?}")
                .chars()
                .take_while(|letter| letter.is_alphanumeric())
                .collect()
        })
        .collect();
    assert_eq!(tried, variants_in_source());
    for effect in effects() {
        match for_effect(&effect) {
            CalledFor::Cautions(cautions) => {
                assert!(!cautions.is_empty(), "{effect:?}");
                assert_ne!(
                    cautions,
                    Caution::ALL.as_slice(),
                    "{effect:?} has no entry of its own"
                );
            }
            CalledFor::NoneBecause(reason) => assert!(reason.len() > 20, "{effect:?}"),
        }
    }
}

#[test]
fn whatever_stops_the_flow_speaks_of_oxygen() {
    for effect in [Effect::PowerOut, Effect::PumpStopped(PumpId(0))] {
        let text: String = for_effect(&effect)
            .cautions()
            .iter()
            .map(|caution| caution.text())
            .collect();
        assert!(
            text.contains("can run out of oxygen in a few hours, sooner than it cools"),
            "{effect:?}"
        );
        assert!(for_effect(&effect).cautions().contains(&Caution::StoppedFlow));
        assert!(Caution::StoppedFlow.is_common_practice());
    }
}

#[test]
fn a_weld_speaks_of_the_plug_the_residual_current_protection_and_local_codes() {
    let text: String = for_effect(&Effect::ContactWelded(ContactId(0)))
        .cautions()
        .iter()
        .map(|caution| caution.text())
        .collect();
    for part in [
        "ignores \"off\"",
        "dry hands",
        "RCD/GFCI",
        "drip loop",
        "Local electrical codes",
        "certificate",
    ] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn a_heater_hotter_than_150_degrees_ran_dry() {
    assert_eq!(for_body("left", 150.0), None);
    let caution = for_body("left", 151.0).unwrap();
    assert_eq!(caution.caution, Caution::RanDry);
    assert_eq!(caution.because, ["left, body 151 °C"]);
    assert!(
        caution
            .text
            .starts_with("A heater ran dry here, so its glass may crack: remove power before")
    );
}

#[test]
fn a_caution_called_for_twice_is_said_once_with_both_reasons() {
    let said = gathered([
        Caution::NoCertificate.because("any result"),
        Caution::StuckHeater.because("relay left welded"),
        Caution::StuckHeater.because("relay right welded"),
        Caution::StuckHeater.because("relay left welded"),
    ]);
    assert_eq!(said.len(), 2);
    assert_eq!(said[0].because, ["relay left welded", "relay right welded"]);
}

#[test]
fn keys_are_the_same_in_csv_and_json() {
    for caution in Caution::ALL {
        assert_eq!(serde_json::to_value(caution).unwrap(), caution.key());
    }
}

#[test]
fn cautions_reach_every_format() {
    let record = examples::comparison();
    assert!(table::comparison(&record, Units::Metric).contains("A welded contact ignores \"off\""));
    assert!(
        json::json(&record)
            .unwrap()
            .contains("A welded contact ignores \\\"off\\\"")
    );
    assert!(csv_text::comparison(&record).unwrap().contains("stuck-heater"));
    assert!(table::run(&run(), Units::Metric).contains("A welded contact ignores \"off\""));
    assert!(
        csv_text::leaves(&run())
            .unwrap()
            .contains("A welded contact ignores")
    );
    assert!(table::budget(&examples::budget(), Units::Metric).contains("A welded contact ignores \"off\""));
}

#[test]
fn an_outage_speaks_of_generators_and_flames() {
    let text: String = for_effect(&Effect::PowerOut)
        .cautions()
        .iter()
        .map(|caution| caution.text())
        .collect();
    for part in [
        "outdoors only",
        "openings",
        "never back-fed",
        "flames near a tank",
    ] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn a_hot_heater_cools_in_place_and_one_that_cracked_is_never_used_again() {
    for caution in [Caution::RanDry, Caution::DryHeater] {
        for said in [
            "cool in place",
            "cold water on hot glass shatters it",
            "One that cracked is never used again",
        ] {
            assert!(caution.text().contains(said), "{}", caution.text());
        }
    }
}

/// What the program does or leaves out is its own to say; all else that is said has no source, and says so.
#[test]
fn a_caution_without_a_source_carries_a_mark_that_is_explained_once() {
    let own = [
        Caution::OxygenReckoned,
        Caution::LocalRules,
        Caution::OddsCompare,
        Caution::NoCertificate,
    ];
    for caution in Caution::ALL {
        let one = caution.because("something");
        assert_eq!(one.common_practice, !own.contains(&caution), "{caution:?}");
        assert_eq!(one.marked().ends_with('†'), one.common_practice);
        assert!(!caution.text().contains("no source"), "{caution:?} says it twice");
    }
    let record = run();
    let text = table::run(&record, Units::Metric);
    assert_eq!(text.matches("† common practice, no source").count(), 1, "{text}");
    let marked = record.cautions.iter().filter(|one| one.common_practice).count();
    assert!(marked > 0);
    assert_eq!(text.matches('†').count(), marked + 1);
}
