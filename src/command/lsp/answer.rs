//! Requests of the editor and their answers.

use super::actions;
use super::books::{Books, key};
use super::legend;
use super::places::Places;
use crate::command::book::Book;
use flamacue::assist::{self, CompletionKind, FoldKind, Symbol, SymbolKind, View};
use flamacue::score::BlockWord;
use flamacue::source::{FileId, Span};
use lsp_types::{
    CodeActionParams, CompletionItem, CompletionItemKind, CompletionParams, CompletionTextEdit,
    DocumentFormattingParams, DocumentSymbolParams, FoldingRange, FoldingRangeKind,
    FoldingRangeParams, GotoDefinitionParams, HoverParams, InlayHint, InlayHintKind,
    InlayHintLabel, InlayHintParams, ReferenceParams, RenameParams, SemanticToken, SemanticTokens,
    SemanticTokensParams, SemanticTokensRangeParams, TextDocumentPositionParams, TextEdit, Uri,
};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

/// Why a request has no answer.
pub enum Refusal {
    /// There is no such request.
    Unknown,
    /// It makes no sense.
    Wrong(String),
    /// It can't be done, in a sentence for the user.
    Refused(String),
}

type Answer = Result<Value, Refusal>;

/// What is asked about: a text, its book, and where bytes of it stand.
struct Asked<'a> {
    view: View<'a>,
    book: &'a Book,
    file: FileId,
    places: Places<'a>,
}

impl<'a> Asked<'a> {
    fn new(books: &'a Books, uri: &Uri) -> Result<Self, Refusal> {
        let path = key(uri);
        let wrong = || Refusal::Wrong("this text is not open".to_owned());
        let book = books.of(&path).ok_or_else(wrong)?;
        let view = book.view();
        let file = view.file(&path).ok_or_else(wrong)?;
        Ok(Self {
            view,
            book,
            file,
            places: Places::new(view.source, books.encoding(), &books.uris),
        })
    }

    /// A text and the byte at a place of it.
    fn at(books: &'a Books, place: &TextDocumentPositionParams) -> Result<(Self, usize), Refusal> {
        let asked = Self::new(books, &place.text_document.uri)?;
        let offset = asked.places.offset(asked.file, place.position);
        Ok((asked, offset))
    }

    fn whole(&self) -> Span {
        self.view.source.span_of(self.file)
    }
}

fn read<T: DeserializeOwned>(params: Value) -> Result<T, Refusal> {
    serde_json::from_value(params).map_err(|error| Refusal::Wrong(error.to_string()))
}

fn write(value: impl serde::Serialize) -> Answer {
    serde_json::to_value(value).map_err(|error| Refusal::Wrong(error.to_string()))
}

/// The answer to a request. `versions` says that the editor takes changes with the numbers of states.
pub fn answer(books: &Books, versions: bool, method: &str, params: Value) -> Answer {
    match method {
        "textDocument/hover" => hover(books, &read(params)?),
        "textDocument/completion" => completion(books, &read(params)?),
        "textDocument/definition" => definition(books, &read(params)?),
        "textDocument/references" => references(books, &read(params)?),
        "textDocument/prepareRename" => prepare_rename(books, &read(params)?),
        "textDocument/rename" => rename((books, versions), &read(params)?),
        "textDocument/documentSymbol" => symbols(books, &read(params)?),
        "textDocument/foldingRange" => folds(books, &read(params)?),
        "textDocument/formatting" => formatting(books, &read(params)?),
        "textDocument/semanticTokens/full" => {
            let params: SemanticTokensParams = read(params)?;
            let asked = Asked::new(books, &params.text_document.uri)?;
            tokens(&asked, asked.whole())
        }
        "textDocument/semanticTokens/range" => {
            let params: SemanticTokensRangeParams = read(params)?;
            let asked = Asked::new(books, &params.text_document.uri)?;
            tokens(&asked, asked.places.span(asked.file, params.range))
        }
        "textDocument/inlayHint" => inlays(books, &read(params)?),
        "textDocument/codeAction" => mends((books, versions), &read(params)?),
        _ => Err(Refusal::Unknown),
    }
}

fn hover(books: &Books, params: &HoverParams) -> Answer {
    let (asked, offset) = Asked::at(books, &params.text_document_position_params)?;
    let Some(hover) = assist::hover(&asked.view, offset) else { return Ok(Value::Null) };
    let contents = json!({ "kind": "plaintext", "value": hover.text });
    Ok(json!({ "contents": contents, "range": asked.places.range(hover.span) }))
}

fn completion(books: &Books, params: &CompletionParams) -> Answer {
    let (asked, offset) = Asked::at(books, &params.text_document_position)?;
    let found = assist::complete(&asked.view, offset).into_iter().enumerate();
    let item = |(nth, one): (usize, assist::Completion)| {
        let edit = TextEdit::new(asked.places.range(one.span), one.text);
        let kind = match one.kind {
            CompletionKind::Word => CompletionItemKind::KEYWORD,
            CompletionKind::Key => CompletionItemKind::PROPERTY,
            CompletionKind::Value => CompletionItemKind::ENUM_MEMBER,
            CompletionKind::Name => CompletionItemKind::REFERENCE,
            CompletionKind::Letter => CompletionItemKind::VALUE,
        };
        CompletionItem {
            label: one.label,
            kind: Some(kind),
            detail: Some(one.about).filter(|about| !about.is_empty()),
            // In the order of the tables, which is that of use.
            sort_text: Some(format!("{nth:04}")),
            text_edit: Some(CompletionTextEdit::Edit(edit)),
            ..CompletionItem::default()
        }
    };
    write(found.map(item).collect::<Vec<_>>())
}

fn definition(books: &Books, params: &GotoDefinitionParams) -> Answer {
    let (asked, offset) = Asked::at(books, &params.text_document_position_params)?;
    write(assist::definition(&asked.view, offset).and_then(|span| asked.places.location(span)))
}

fn references(books: &Books, params: &ReferenceParams) -> Answer {
    let (asked, offset) = Asked::at(books, &params.text_document_position)?;
    let given = params.context.include_declaration;
    let found = assist::references(&asked.view, offset, given).into_iter();
    write(found.filter_map(|span| asked.places.location(span)).collect::<Vec<_>>())
}

fn prepare_rename(books: &Books, params: &TextDocumentPositionParams) -> Answer {
    let (asked, offset) = Asked::at(books, params)?;
    match assist::renamed_place(&asked.view, offset) {
        Some(span) => write(asked.places.range(span)),
        None => Err(Refusal::Refused("there is no name here that a block has".to_owned())),
    }
}

fn rename((books, versions): (&Books, bool), params: &RenameParams) -> Answer {
    let (asked, offset) = Asked::at(books, &params.text_document_position)?;
    let edits = assist::rename(&asked.view, offset, &params.new_name).map_err(Refusal::Refused)?;
    Ok(actions::workspace_edit((books, versions), &asked.places, asked.view.source, &edits))
}

fn symbols(books: &Books, params: &DocumentSymbolParams) -> Answer {
    let asked = Asked::new(books, &params.text_document.uri)?;
    let found = assist::symbols(&asked.view, asked.file);
    Ok(found.iter().map(|symbol| of_symbol(&asked.places, symbol)).collect())
}

/// Symbols nest as deep as headings do.
fn of_symbol(places: &Places<'_>, symbol: &Symbol) -> Value {
    use lsp_types::SymbolKind as Kind;
    let kind = match symbol.kind {
        SymbolKind::Heading(0) => Kind::MODULE,
        SymbolKind::Heading(1) => Kind::NAMESPACE,
        SymbolKind::Heading(_) => Kind::PACKAGE,
        SymbolKind::Block(BlockWord::Kit | BlockWord::Syllables) => Kind::STRUCT,
        SymbolKind::Block(BlockWord::Edition) => Kind::INTERFACE,
        SymbolKind::Block(
            BlockWord::Groove
            | BlockWord::Fill
            | BlockWord::Exercise
            | BlockWord::Rudiment
            | BlockWord::Variation
            | BlockWord::Context
            | BlockWord::Series,
        ) => Kind::FUNCTION,
    };
    let children: Vec<Value> =
        symbol.children.iter().map(|child| of_symbol(places, child)).collect();
    json!({
        "name": symbol.name,
        "detail": symbol.detail,
        "kind": kind,
        "range": places.range(symbol.span),
        "selectionRange": places.range(symbol.head),
        "children": children,
    })
}

fn folds(books: &Books, params: &FoldingRangeParams) -> Answer {
    let asked = Asked::new(books, &params.text_document.uri)?;
    let found = assist::folds(&asked.view, asked.file).into_iter().map(|fold| {
        let range = asked.places.range(fold.span);
        let kind = match fold.kind {
            FoldKind::Header => Some(FoldingRangeKind::Imports),
            FoldKind::Heading | FoldKind::Block => Some(FoldingRangeKind::Region),
        };
        let (start_line, end_line) = (range.start.line, range.end.line);
        FoldingRange { start_line, end_line, kind, ..FoldingRange::default() }
    });
    write(found.collect::<Vec<_>>())
}

fn formatting(books: &Books, params: &DocumentFormattingParams) -> Answer {
    let uri = &params.text_document.uri;
    let asked = Asked::new(books, uri)?;
    write(actions::formatting(asked.book, uri, books.encoding()))
}

fn tokens(asked: &Asked<'_>, range: Span) -> Answer {
    let mut data = Vec::new();
    let mut last = lsp_types::Position::new(0, 0);
    let found = assist::tokens(&asked.view, asked.file, range).into_iter();
    let pieces = found.flat_map(|token| {
        let pieces = asked.places.pieces(token.span).into_iter();
        pieces.map(move |span| assist::Token { span, ..token })
    });
    for token in pieces {
        let start = asked.places.position(token.span.start());
        let same_line = start.line == last.line;
        let (token_type, token_modifiers_bitset) = legend::numbers(token.kind);
        let from = if same_line { last.character } else { 0 };
        data.push(SemanticToken {
            delta_line: start.line.saturating_sub(last.line),
            delta_start: start.character.saturating_sub(from),
            length: asked.places.width(token.span),
            token_type,
            token_modifiers_bitset,
        });
        last = start;
    }
    write(SemanticTokens { result_id: None, data })
}

fn inlays(books: &Books, params: &InlayHintParams) -> Answer {
    let asked = Asked::new(books, &params.text_document.uri)?;
    let range = asked.places.span(asked.file, params.range);
    let found = assist::inlays(&asked.view, range).into_iter().map(|inlay| InlayHint {
        position: asked.places.position(inlay.at),
        label: InlayHintLabel::String(inlay.text),
        kind: None::<InlayHintKind>,
        text_edits: None,
        tooltip: None,
        padding_left: Some(true),
        padding_right: None,
        data: None,
    });
    write(found.collect::<Vec<_>>())
}

fn mends((books, versions): (&Books, bool), params: &CodeActionParams) -> Answer {
    let asked = Asked::new(books, &params.text_document.uri)?;
    let wanted = params.context.only.as_ref();
    let is_wanted = wanted
        .is_none_or(|kinds| kinds.iter().any(|kind| matches!(kind.as_str(), "" | "quickfix")));
    if !is_wanted {
        return Ok(json!([]));
    }
    let range = asked.places.span(asked.file, params.range);
    Ok(actions::mends((books, versions), (asked.book, asked.file), range).into())
}
