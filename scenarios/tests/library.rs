//! Every scenario of the library loads without a diagnostic.

use tepid_scenarios::library;

#[test]
fn every_library_scenario_loads_and_says_what_it_teaches() {
    for name in library::names() {
        let scenario = library::load(name)
            .expect("it is listed")
            .unwrap_or_else(|report| panic!("{}", report.plain()));
        assert_eq!(scenario.name, name);
        assert!(
            library::text(name).is_some_and(|text| text.starts_with("# ")),
            "{name}"
        );
        assert_eq!(
            library::text(name).map(|text| text.lines().take_while(|line| line.starts_with('#')).count()),
            Some(2)
        );
        assert!(scenario.teaches.len() > 40, "{name}");
    }
}
