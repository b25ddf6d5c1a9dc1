//! What the server can do, and how it and the editor understand each other.

use super::legend::legend;
use flamacue::assist::Encoding;
use lsp_types::{
    ClientCapabilities, CodeActionKind, CodeActionOptions, CodeActionProviderCapability,
    CompletionOptions, FoldingRangeProviderCapability, HoverProviderCapability, OneOf,
    PositionEncodingKind, RenameOptions, SemanticTokensFullOptions, SemanticTokensOptions,
    ServerCapabilities, TextDocumentSyncCapability, TextDocumentSyncKind, TextDocumentSyncOptions,
    TextDocumentSyncSaveOptions,
};

/// What columns count: bytes where the editor can count them, which is how the program does.
pub fn encoding(client: &ClientCapabilities) -> Encoding {
    let offered = client.general.as_ref().and_then(|general| general.position_encodings.as_ref());
    let bytes = offered.is_some_and(|known| known.contains(&PositionEncodingKind::UTF8));
    if bytes { Encoding::Utf8 } else { Encoding::Utf16 }
}

/// Whether the editor can be asked to tell of files that change on the disk.
pub fn watches_files(client: &ClientCapabilities) -> bool {
    let watched =
        client.workspace.as_ref().and_then(|workspace| workspace.did_change_watched_files.as_ref());
    watched.and_then(|watched| watched.dynamic_registration).unwrap_or(false)
}

/// Whether the editor takes changes of several texts with the numbers of their states.
pub fn takes_versions(client: &ClientCapabilities) -> bool {
    let edit = client.workspace.as_ref().and_then(|workspace| workspace.workspace_edit.as_ref());
    edit.and_then(|edit| edit.document_changes).unwrap_or(false)
}

pub fn capabilities(encoding: Encoding) -> ServerCapabilities {
    let sync = TextDocumentSyncOptions {
        open_close: Some(true),
        change: Some(TextDocumentSyncKind::INCREMENTAL),
        save: Some(TextDocumentSyncSaveOptions::Supported(true)),
        ..TextDocumentSyncOptions::default()
    };
    let kind = match encoding {
        Encoding::Utf8 => PositionEncodingKind::UTF8,
        Encoding::Utf16 => PositionEncodingKind::UTF16,
    };
    let completion = CompletionOptions {
        trigger_characters: Some([" ", ":", "@", "."].map(str::to_owned).into()),
        ..CompletionOptions::default()
    };
    let tokens = SemanticTokensOptions {
        legend: legend(),
        range: Some(true),
        full: Some(SemanticTokensFullOptions::Bool(true)),
        ..SemanticTokensOptions::default()
    };
    let actions = CodeActionOptions {
        code_action_kinds: Some(vec![CodeActionKind::QUICKFIX]),
        ..CodeActionOptions::default()
    };
    let rename = RenameOptions {
        prepare_provider: Some(true),
        work_done_progress_options: lsp_types::WorkDoneProgressOptions::default(),
    };
    ServerCapabilities {
        position_encoding: Some(kind),
        text_document_sync: Some(TextDocumentSyncCapability::Options(sync)),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        completion_provider: Some(completion),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        code_action_provider: Some(CodeActionProviderCapability::Options(actions)),
        document_formatting_provider: Some(OneOf::Left(true)),
        rename_provider: Some(OneOf::Right(rename)),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        semantic_tokens_provider: Some(tokens.into()),
        inlay_hint_provider: Some(OneOf::Left(true)),
        ..ServerCapabilities::default()
    }
}
