//! Waste, limits and payloads that are overrun.

use super::*;

#[test]
fn waste_beyond_what_there_is_room_for() {
    let ways = |network: &mut Network, name: &str, way: Way| {
        for activity in &mut duties(network, name).activities {
            activity.role = Role::Leave(way.clone());
        }
    };
    let result = changed(|network, _| {
        let limit_kg = Some(244.4);
        ways(network, "stowage", Way::Stowed { limit_kg });
    });
    rejected(result, &[Family::Waste], "waste stowed in stowage");
    let result = changed(|network, _| {
        let per_flight_kg = 71.9;
        ways(network, "removal", Way::Removed { per_flight_kg });
    });
    rejected(
        result,
        &[Family::Waste],
        "waste removed from removal, day 90 to 180",
    );
    let result = changed(|network, _| network.limits.stowage_kg = fixture::limit(244.4));
    rejected(result, &[Family::Waste], "stowage of all stowed waste");
}

#[test]
fn limits_of_the_whole_design() {
    let result = changed(|network, _| network.limits.power_w = fixture::limit(1499.0));
    rejected(result, &[Family::Limits], "power, operations");
    let result = changed(|network, _| network.limits.heat_w = fixture::limit(1276.0));
    rejected(result, &[Family::Limits], "heat, operations");
    let result = changed(|network, _| network.limits.crew_time_h_per_day = fixture::limit(0.19));
    rejected(result, &[Family::Limits], "crew time, shakedown");
    let result = changed(|network, _| network.limits.volume_m3 = fixture::limit(1.34));
    rejected(result, &[Family::Limits], "volume of all units");
}

/// 645.86536 kg and 1.45 · 80 · 0.5757 kg of oxygen with its packaging.
#[test]
fn overloaded_flights() {
    let payload = |kg| changed(|network, _| network.calendar.flights[1].payload_kg = Some(kg));
    assert!(payload(712.7).is_ok());
    rejected(
        payload(712.6),
        &[Family::Payload],
        "payload of flight 1 on day 90",
    );
}
