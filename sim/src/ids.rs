//! Positions in a scenario's lists, one type per list, so that a probe is never taken for a tank.

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    };
}

id!(
    /// A tank, by its position in [`crate::scenario::Scenario::tanks`].
    TankId
);
id!(
    /// A pump, by its position in [`crate::scenario::Scenario::pumps`].
    PumpId
);
id!(
    /// A heater, by its position in [`crate::scenario::Scenario::heaters`].
    HeaterId
);
id!(
    /// A fan, by its position in [`crate::scenario::Scenario::fans`].
    FanId
);
id!(
    /// A chiller, by its position in [`crate::scenario::Scenario::chillers`].
    ChillerId
);
id!(
    /// A light, by its position in [`crate::scenario::Scenario::lights`].
    LightId
);
id!(
    /// A contact, by its position in [`crate::scenario::Scenario::contacts`].
    ContactId
);
id!(
    /// A probe, by its position in [`crate::scenario::Scenario::probes`].
    ProbeId
);
id!(
    /// An air pump, by its position in [`crate::scenario::Scenario::air_pumps`].
    AirPumpId
);
id!(
    /// A circuit, by its position in [`crate::scenario::Scenario::circuits`].
    CircuitId
);
id!(
    /// A backup, by its position in [`crate::scenario::Scenario::backups`].
    BackupId
);
id!(
    /// A person, by their position in [`crate::scenario::Scenario::persons`].
    PersonId
);
id!(
    /// A box of contacts, by its position in [`crate::scenario::Scenario::boxes`].
    BoxId
);
