/// The name among `among` that `wanted` was most likely meant to be, or none
/// if nothing is close: "did you mean ...?".
///
/// Case and the difference between spaces, hyphens and underscores do not
/// count; of equally close names the first wins.
///
/// ```
/// use loopwright::diagnostic::nearest;
/// let names = ["urine still", "polisher", "water tank"];
/// assert_eq!(nearest("urin still", names), Some("urine still"));
/// assert_eq!(nearest("centrifuge", names), None);
/// ```
pub fn nearest<'a>(wanted: &str, among: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = folded(wanted);
    let length = wanted.chars().count();
    let mut best: Option<(usize, &'a str)> = None;
    for name in among {
        let candidate = folded(name);
        let distance = strsim::damerau_levenshtein(&wanted, &candidate);
        let longer = length.max(candidate.chars().count());
        let allowed = match longer {
            0..=3 => 1,
            4..=5 => 2,
            _ => longer / 3,
        };
        // At least one letter must survive, or every short name is "close".
        if distance <= allowed
            && distance < longer
            && best.is_none_or(|(closest, _)| distance < closest)
        {
            best = Some((distance, name));
        }
    }
    best.map(|(_, name)| name)
}

fn folded(name: &str) -> String {
    name.trim()
        .chars()
        .map(|c| if c == '_' || c == '-' { ' ' } else { c })
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn case_and_joiners_do_not_count() {
        assert_eq!(nearest("Crew_Time", ["crew time"]), Some("crew time"));
    }

    #[test]
    fn short_names_need_a_letter_in_common() {
        assert_eq!(nearest("kq", ["W", "kg"]), Some("kg"));
        assert_eq!(nearest("x", ["W"]), None);
    }

    #[test]
    fn the_first_of_equals_wins() {
        assert_eq!(nearest("still C", ["still A", "still B"]), Some("still A"));
    }

    #[test]
    fn nothing_is_close_to_nothing() {
        assert_eq!(nearest("", ["a"]), None);
        assert_eq!(nearest("mass", []), None);
    }
}
