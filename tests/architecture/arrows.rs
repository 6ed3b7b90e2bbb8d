//! Crate arrows point one way only: sim ← strategies ← scenarios ← lessons ← output ← tepid, and lessons ← page.

use cargo_metadata::{DependencyKind, MetadataCommand};

const ORDER: [&str; 6] = [
    "tepid-sim",
    "tepid-strategies",
    "tepid-scenarios",
    "tepid-lessons",
    "tepid-output",
    "tepid",
];

/// The model for browsers stands beside `tepid-output`: it needs what comes before, and the program needs its built module alone.
const PAGE: &str = "tepid-page";

#[test]
fn crates_depend_only_on_those_before_them() {
    let metadata = MetadataCommand::new().no_deps().exec().expect("cargo metadata");
    let rank = |name: &str| match name {
        PAGE => Some(
            ORDER
                .iter()
                .position(|known| *known == "tepid-output")
                .expect("an order"),
        ),
        _ => ORDER.iter().position(|known| *known == name),
    };
    let mut seen = 0;
    let examples = metadata.workspace_root.join("examples");
    let ours = metadata.workspace_packages();
    for package in ours
        .iter()
        .filter(|package| !package.manifest_path.starts_with(&examples))
    {
        let own =
            rank(&package.name).unwrap_or_else(|| panic!("{} is not in the order of crates", package.name));
        seen += 1;
        for dependency in &package.dependencies {
            if let Some(theirs) = rank(&dependency.name)
                && dependency.kind != DependencyKind::Development
            {
                assert!(
                    theirs < own && dependency.name != PAGE,
                    "{} must not depend on {}",
                    package.name,
                    dependency.name
                );
            }
        }
    }
    assert_eq!(seen, ORDER.len() + 1);
}
