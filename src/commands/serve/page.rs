//! The page itself: what stands still. The script fills in sliders and answers.

use maud::{DOCTYPE, PreEscaped, html};
use serde_json::json;

use super::controls::Control;
use super::ground::Ground;
use super::ideas::Idea;
use crate::report::{CAUTION, HTML_STYLE};

/// The script of the page.
pub(super) const SCRIPT: &str = include_str!("page.js");

/// A ring with a gap: drawn here, so that nothing is asked for.
const ICON: &str = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 \
    16'%3E%3Cpath d='M8 2a6 6 0 1 1-4.2 1.8' fill='none' stroke='%230b5a74' \
    stroke-width='3'/%3E%3C/svg%3E";

/// The style of the page.
pub(super) fn style() -> String {
    format!("{HTML_STYLE}\n{}", include_str!("page.css"))
}

/// The page of a design.
pub(super) fn page(
    ground: &Ground,
    controls: &[Control],
    chosen: &[String],
    ideas: &[Idea],
) -> String {
    let design = &ground.design;
    let written = &design.written;
    let variants: Vec<&str> = written.variants.keys().map(|name| name.as_str()).collect();
    let file = ground.file.display().to_string();
    let data = json!({
        "file": file,
        "controls": controls,
        "chosen": chosen,
        "ideas": ideas,
        "variants": variants,
    });
    // Nothing in it ends the element that holds it.
    let data = data.to_string().replace("</", "<\\/").replace("<!", "<\\!");
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ "loopwright " (env!("CARGO_PKG_VERSION")) };
                title { (written.title) " – what if" }
                link rel="icon" href=(ICON);
                link rel="stylesheet" href="page.css";
                script type="application/json" #data { (PreEscaped(data)) }
                script defer src="page.js" {}
            }
            body.live {
                a.skip href="#answer" { "Skip to the answer" }
                header.top {
                    div.name {
                        h1 { (written.title) }
                        @if let Some(summary) = &written.summary { p.summary { (summary) } }
                    }
                    div.views role="group" aria-label="View" {
                        button type="button" #view-plan aria-pressed="true" { "Planner" }
                        button type="button" #view-class aria-pressed="false" { "Classroom" }
                    }
                }
                noscript { p { "This page needs its script, which comes from this machine." } }
                div.bench {
                    section.what-if aria-labelledby="what-if" {
                        h2 #what-if { "What if" }
                        div.variant {
                            label for="variant" { "Variant" }
                            select #variant {
                                option value="" { "as written" }
                                @for name in &variants { option value=(name) { (name) } }
                            }
                        }
                        div #controls {}
                        div.add {
                            label for="find" { "Another number of the design" }
                            input #find type="search" list="numbers" autocomplete="off"
                                placeholder="part of its name, such as polisher mass"
                                aria-describedby="find-note";
                            datalist #numbers {}
                            p.note #find-note role="status" {}
                        }
                        div.keep {
                            button type="button" #reset { "All as written" }
                            a #export href="export.ron" download { "Save as a design file" }
                            button type="button" #copy { "Copy a link to this state" }
                            p.note #kept role="status" {}
                        }
                    }
                    main #answer tabindex="-1" aria-busy="true" {
                        div.total role="status" aria-live="polite" aria-atomic="true" {
                            p.kilograms #total { "…" }
                            p.of #total-of {}
                            p.change #change {}
                            p.quiet #working {}
                        }
                        div #outcome aria-live="polite" {}
                        div #parts {}
                        section.study.part #break-even {
                            h2 { "Where the lightest mix switches" }
                            div.ask {
                                label for="over" { "Over the range of" }
                                select #over {}
                                p.quiet #break-even-note role="status" {}
                            }
                            div.found {}
                        }
                        section.study.part #sensitivity {
                            h2 { "Which numbers matter most" }
                            div.ask {
                                button type="button" #ask-sensitivity { "Move every number by 10 %" }
                                button type="button" #add-telling hidden { "Sliders for the first six" }
                                p.quiet #sensitivity-note role="status" {}
                            }
                            div.found {}
                        }
                        section.part #same-as {
                            h2 { "The same on the command line" }
                            pre tabindex="0" role="group" aria-label="command" { code #command {} }
                        }
                        section.part #everything {
                            h2 { "Everything else about this plan" }
                            div #folded {}
                        }
                    }
                }
                footer { div.caution role="note" { p { strong { "Caution. " } (CAUTION) } } }
            }
        }
    };
    markup.into_string()
}
