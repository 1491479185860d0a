//! axe-core, the accessibility engine, and what it says of a page.

use serde_json::Value;

/// The engine as a wheel brings it; see `.ci/run`.
pub const ENGINE: &str = "target/accessibility/axe_playwright_python/axe.min.js";

/// A promise of what the engine finds on the page it runs in.
pub const LOOK: &str = "axe.run(document, {resultTypes: ['violations']}).then(found => ({
    passes: found.passes.length,
    violations: found.violations.map(one => ({
        id: one.id, impact: one.impact, help: one.help,
        nodes: one.nodes.slice(0, 3).map(node => node.html.slice(0, 200)),
    })),
}))";

/// The findings of a look.
pub fn findings(found: &Value) -> Vec<Value> {
    assert!(
        found["passes"].as_u64().unwrap() > 10,
        "the engine looked at little: {found}"
    );
    found["violations"].as_array().unwrap().clone()
}

pub fn is_grave(finding: &Value) -> bool {
    matches!(finding["impact"].as_str(), Some("serious" | "critical"))
}
