//! Which address answers what.

use std::sync::Arc;
use std::thread::available_parallelism;
use std::time::Duration;

use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::State;
use axum::http::{HeaderName, HeaderValue, Request, StatusCode, header};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde::Serialize;

use super::answer::{Answered, answer, rest};
use super::asked::{self, Asked, AskedStudy};
use super::cache::Cache;
use super::ground::Ground;
use super::guard::{self, Guard};
use super::page;
use super::refused::Refused;
use super::slots::Slots;
use super::studies::study;
use super::{controls, ideas};
use crate::design::{self, Edits};
use crate::solve::Options;

/// Answers kept at most, and bytes of them together.
const KEPT: (usize, usize) = (256, 32 << 20);
/// Questions that wait for their turn at most, for an answer and for a study.
const WAITING: (usize, usize) = (128, 8);
/// How long a question may take where no other limit was given.
const PATIENCE: Duration = Duration::from_secs(120);

/// What all requests share.
pub(super) struct Shared {
    ground: Ground,
    guard: Guard,
    options: Options,
    page: Bytes,
    style: Bytes,
    cache: Cache,
    answers: Arc<Slots>,
    studies: Arc<Slots>,
}

impl Shared {
    /// Ready to answer about a design.
    pub fn new(ground: Ground, guard: Guard, mut options: Options) -> Self {
        options.time_limit.get_or_insert(PATIENCE);
        let controls = controls::all(&ground);
        let chosen = controls::chosen(&ground, &controls);
        let plan = ground.plan(&options);
        let flown: Vec<String> = plan.map_or_else(Vec::new, |plan| {
            let units = plan.units_by_name().into_iter();
            units
                .filter(|(_, units)| *units > 0)
                .map(|(name, _)| name)
                .collect()
        });
        let ideas = ideas::ideas(&ground, &controls, &flown);
        let cores = available_parallelism().map_or(1, usize::from);
        Shared {
            page: page::page(&ground, &controls, &chosen, &ideas).into(),
            style: page::style().into(),
            cache: Cache::new(KEPT.0, KEPT.1),
            answers: Slots::new(cores, WAITING.0),
            studies: Slots::new(1, WAITING.1),
            ground,
            guard,
            options,
        }
    }

    /// Stops everything at work.
    pub fn close(&self) {
        self.answers.close();
        self.studies.close();
    }

    /// The answer to a question: kept, or worked out when it is its turn.
    async fn answered<Q: Serialize + Send + Sync + 'static>(
        self: Arc<Self>,
        slots: Arc<Slots>,
        question: Q,
        work: impl FnOnce(&Ground, &Q, &Options) -> Result<Answered, Refused> + Send + 'static,
    ) -> Result<Response, Refused> {
        let key = serde_json::to_string(&question).map_err(Refused::internal)?;
        if let Some(kept) = self.cache.get(&key) {
            return Ok(sent(kept, "kept".to_owned()));
        }
        let done = slots.work(move |stop| {
            // Someone else may have asked the same in the meantime.
            if let Some(kept) = self.cache.get(&key) {
                return Ok((kept, "kept".to_owned()));
            }
            let options = Options {
                interrupt: Some(stop),
                ..self.options.clone()
            };
            let answered = work(&self.ground, &question, &options)?;
            if answered.certain {
                self.cache.keep(key, answered.body.clone());
            }
            let took = answered.took.iter();
            let took: Vec<String> = took
                .map(|(step, ms)| format!("{step};dur={ms:.2}"))
                .collect();
            Ok((answered.body, took.join(", ")))
        });
        done.await?.map(|(body, took)| sent(body, took))
    }
}

fn sent(body: Bytes, took: String) -> Response {
    let mut response = typed("application/json", body);
    if let Ok(took) = HeaderValue::from_str(&took) {
        let name = HeaderName::from_static("server-timing");
        response.headers_mut().insert(name, took);
    }
    response
}

fn typed(kind: &'static str, body: impl Into<Body>) -> Response {
    ([(header::CONTENT_TYPE, kind)], body.into()).into_response()
}

/// Every address, each behind the guard.
pub(super) fn routes(shared: Arc<Shared>) -> Router {
    Router::new()
        .route("/", get(show_page))
        .route("/page.css", get(show_style))
        .route("/page.js", get(show_script))
        .route("/answer", post(ask_answer))
        .route("/rest", post(ask_rest))
        .route("/study", post(ask_study))
        .route("/export.ron", get(export))
        .fallback(nothing_there)
        .method_not_allowed_fallback(other_method)
        .layer(from_fn_with_state(Arc::clone(&shared), guarded))
        .with_state(shared)
}

async fn guarded(
    State(shared): State<Arc<Shared>>,
    request: Request<Body>,
    next: Next,
) -> Response {
    let mut response = match shared.guard.admit(request.headers()) {
        Ok(()) => next.run(request).await,
        Err(refused) => refused.into_response(),
    };
    response.headers_mut().extend(guard::headers());
    response
}

async fn show_page(State(shared): State<Arc<Shared>>) -> Response {
    typed("text/html; charset=utf-8", shared.page.clone())
}

async fn show_style(State(shared): State<Arc<Shared>>) -> Response {
    typed("text/css; charset=utf-8", shared.style.clone())
}

async fn show_script() -> Response {
    typed("text/javascript; charset=utf-8", page::SCRIPT)
}

async fn ask_answer(
    State(shared): State<Arc<Shared>>,
    request: Request<Body>,
) -> Result<Response, Refused> {
    let asked: Asked = asked::json(request).await?;
    let asked = asked.checked()?;
    let slots = Arc::clone(&shared.answers);
    let work =
        |ground: &Ground, asked: &Asked, options: &Options| Ok(answer(ground, asked, options));
    shared.answered(slots, asked, work).await
}

async fn ask_rest(
    State(shared): State<Arc<Shared>>,
    request: Request<Body>,
) -> Result<Response, Refused> {
    let asked: Asked = asked::json(request).await?;
    let question = ("rest", asked.checked()?);
    let slots = Arc::clone(&shared.answers);
    let work = |ground: &Ground, (_, asked): &(&str, Asked), options: &Options| {
        rest(ground, asked, options)
    };
    shared.answered(slots, question, work).await
}

async fn ask_study(
    State(shared): State<Arc<Shared>>,
    request: Request<Body>,
) -> Result<Response, Refused> {
    let asked: AskedStudy = asked::json(request).await?;
    let asked = AskedStudy {
        state: asked.state.checked()?,
        ..asked
    };
    let slots = Arc::clone(&shared.studies);
    shared.answered(slots, asked, study).await
}

/// The design file with the changes of a state written into it.
async fn export(
    State(shared): State<Arc<Shared>>,
    request: Request<Body>,
) -> Result<Response, Refused> {
    let asked = asked::query(request.uri().query().unwrap_or(""))?;
    let slots = Arc::clone(&shared.answers);
    let name = shared.ground.file.file_stem().unwrap_or_default();
    let name = name
        .to_string_lossy()
        .replace(|letter: char| !letter.is_alphanumeric(), "-");
    let text = slots
        .work(move |_| exported(&shared.ground, &asked))
        .await??;
    let attached =
        format!("attachment; filename=\"{name}-changed.ron\"; filename*=UTF-8''{name}-changed.ron");
    let mut response = typed("text/plain; charset=utf-8", text);
    if let Ok(attached) = HeaderValue::from_str(&attached) {
        response
            .headers_mut()
            .insert(header::CONTENT_DISPOSITION, attached);
    }
    Ok(response)
}

fn exported(ground: &Ground, asked: &Asked) -> Result<String, Refused> {
    let refuse = |words: String| Refused::new(StatusCode::UNPROCESSABLE_ENTITY, "refused", words);
    let state = ground.state(asked).map_err(|wrong| {
        let first = wrong.complaints.first();
        refuse(first.map_or_else(String::new, |first| first.headline.clone()))
    })?;
    let text = state
        .design
        .rewritten(&state.sources, ground.source)
        .map_err(|lost| {
            let place = match lost.text {
                Some(text) => format!("it stands in {}", state.sources.name(text)),
                None => "it stands in no file".to_owned(),
            };
            refuse(format!(
                "{} cannot be written into the design: {place}",
                lost.address
            ))
        })?;
    // What is handed out reads as what was asked for.
    let mut sources = state.sources.clone();
    let file = sources.add("export", text.as_str());
    let edits = Edits {
        variant: asked.variant.clone(),
        catalogues: ground.catalogues().to_vec(),
        settings: Vec::new(),
    };
    let again = design::read(&sources, file, &edits);
    let numbers = |design: &design::Design| -> Vec<(String, f64)> {
        let numbers = design.numbers.iter();
        let numbers = numbers.filter(|number| !number.address.starts_with("variants."));
        numbers
            .map(|number| (number.address.clone(), number.value))
            .collect()
    };
    match again.is_ok_and(|again| numbers(&again) == numbers(&state.design)) {
        true => Ok(text),
        false => Err(Refused::internal("the design written anew reads otherwise")),
    }
}

async fn nothing_there() -> Refused {
    let words = "there is nothing at this address; the page is at /";
    Refused::new(StatusCode::NOT_FOUND, "not-found", words)
}

async fn other_method() -> Refused {
    let words = "this address is asked in another way: pages by GET, questions by POST";
    Refused::new(StatusCode::METHOD_NOT_ALLOWED, "method", words)
}
