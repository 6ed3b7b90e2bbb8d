//! How to do the tests, in words.

use tepid_output::cautions::{Cautioned, gathered};
use tepid_output::records::HomeTest;

use super::cautions;

/// What each test is, what it needs and how it is evaluated, with the cautions of all.
#[must_use]
pub fn guide() -> (&'static str, Vec<Cautioned>) {
    let tests = [
        HomeTest::Cooling,
        HomeTest::Heating,
        HomeTest::Duty,
        HomeTest::Lift,
    ];
    (TEXT, gathered(tests.into_iter().flat_map(cautions)))
}

const TEXT: &str = "\
Four tests of a tank with a thermometer and a clock. W/K, the heat lost for each degree that the
water is above the room, is what all of them are about: it says what a heater must give.

Cooling with the heaters off: W/K from the volume
  Unplug the heaters, leave pumps and air running. Note the water every half hour for some hours,
  the room once or twice, and stop where the livestock's band ends.
  Says: W/K, to a few per cent from 2 K of fall; as far off as the volume is.
    tepid measure cooling --volume '180 L' --room '20 °C' --running '15 W' \\
        '0 h = 27.0 °C' '1 h = 26.7 °C' '2 h = 26.3 °C' \\
        '4 h = 25.7 °C' '6 h = 25.1 °C' '8 h = 24.6 °C'

Heating without a break: the heater's real power, or the volume
  Let the water cool a little, then keep the heater on all the time, readings as above.
  Needs W/K from another test, and the volume or the power.
    tepid measure heating --loss '12 W/K' --volume '180 L' --room '20 °C' \\
        '20 min = 24.0 °C' '1 h 20 min = 24.9 °C' '2 h 20 min = 25.8 °C'

Share of the time that the heater is on: W/K from its power
  Look at its lamp at random times, or count the minutes of a whole day.
    tepid measure duty --power '250 W' --lift '3.9 K' --on 31 --looks 100
    tepid measure duty --power '250 W' --lift '3.9 K' --share '31 %' \\
        --watched '24 h' --cycle '50 min'
  The other way round, what to expect:
    tepid measure duty --power '250 W' --lift '3.9 K' --loss '20 W/K'

Lift by pumps alone: W/K without a clock
  With the heaters unplugged, wait until the water has not moved for a day.
    tepid measure lift --running '30 W' --lift '2.5 K'

A log of a few days says more than all of them: tepid fit LOG.csv --scenario my-tank.toml
";
