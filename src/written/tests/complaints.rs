use super::*;

#[test]
fn smoke() {
    for text in ["Still(takes: urine, unit: Unit(mass: 5, capacty: \"3 kg\"), count: 2)"] {
        println!("{:#?}", complaints::<Kind>(text));
    }
}
