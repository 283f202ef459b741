"""The language server itself: pygls on standard input and output. Answers are in `answers` and `completions`."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path

from lsprotocol import types
from pygls.lsp.server import LanguageServer
from pygls.uris import to_fs_path

from coaxwright import __version__
from coaxwright.checking import Rulebook, load_rulebook
from coaxwright.editor import answers
from coaxwright.editor.completions import complete
from coaxwright.editor.texts import OpenText
from coaxwright.errors import Refusal
from coaxwright.reading.catalogue import Catalogue


class Desk:
    """What is open: texts by URI, the rules that judge, and whether hints are wanted."""

    def __init__(self, rulebook: Rulebook, today: datetime.date | None) -> None:
        self.rulebook, self.today = rulebook, today
        self.texts: dict[str, OpenText] = {}
        self.hints = False
        self._bare: Catalogue | None = None

    def open(self, uri: str, text: str) -> OpenText:
        """Take a text that was opened. Raises Refusal where it is too large."""
        path = Path(to_fs_path(uri) or "untitled.site.yaml").absolute()
        self.texts[uri] = OpenText(path, text, self.rulebook, self.today)
        return self.texts[uri]

    def catalogue(self, text: OpenText) -> Catalogue:
        """The parts that an open text may name."""
        if text.site is not None and text.site.state is not None:
            return text.site.state.basis.loaded.catalogue
        self._bare = self._bare or Catalogue()
        return self._bare


def server(folders: Sequence[Path] = (), today: datetime.date | None = None) -> LanguageServer:
    """A server that judges by the program's rules and those of folders. Raises Refusal where rules cannot be used."""
    desk = Desk(load_rulebook(folders), today)
    made = LanguageServer("coaxwright", __version__, text_document_sync_kind=types.TextDocumentSyncKind.Full)
    _watch(made, desk)
    _answer(made, desk)
    _edit(made, desk)
    return made


def _watch(made: LanguageServer, desk: Desk) -> None:
    """Open, change, save, close: diagnostics follow each."""

    def tell(uri: str) -> None:
        found = desk.texts[uri].diagnostics() if uri in desk.texts else []
        made.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, found))

    @made.feature(types.INITIALIZE)
    def begin(params: types.InitializeParams) -> None:
        wanted = params.initialization_options
        desk.hints = bool(wanted.get("hints")) if isinstance(wanted, dict) else False

    @made.feature(types.TEXT_DOCUMENT_DID_OPEN)
    def opened(params: types.DidOpenTextDocumentParams) -> None:
        _guarded(made, lambda: desk.open(params.text_document.uri, params.text_document.text))
        tell(params.text_document.uri)

    @made.feature(types.TEXT_DOCUMENT_DID_CHANGE)
    def changed(params: types.DidChangeTextDocumentParams) -> None:
        uri = params.text_document.uri
        whole = made.workspace.get_text_document(uri).source
        _guarded(made, lambda: desk.texts[uri].change(whole) if uri in desk.texts else desk.open(uri, whole))
        tell(uri)

    @made.feature(types.TEXT_DOCUMENT_DID_SAVE)
    def saved(params: types.DidSaveTextDocumentParams) -> None:
        """A part file that was saved changes the verdict on every open site."""
        for uri, text in list(desk.texts.items()):
            _guarded(made, lambda uri=uri, text=text: desk.open(uri, text.text))
            tell(uri)

    @made.feature(types.TEXT_DOCUMENT_DID_CLOSE)
    def closed(params: types.DidCloseTextDocumentParams) -> None:
        desk.texts.pop(params.text_document.uri, None)
        tell(params.text_document.uri)


def _guarded(made: LanguageServer, act: Callable[..., object]) -> None:
    """Do something; what is refused is shown to the user."""
    try:
        act()
    except Refusal as refusal:
        made.window_show_message(types.ShowMessageParams(types.MessageType.Error, str(refusal)))


def _answer(made: LanguageServer, desk: Desk) -> None:
    """Completion, hover, definition, hints."""

    @made.feature(types.TEXT_DOCUMENT_COMPLETION, types.CompletionOptions(trigger_characters=[":", " ", "/"]))
    def completion(params: types.CompletionParams) -> list[types.CompletionItem]:
        text = desk.texts.get(params.text_document.uri)
        return [] if text is None else complete(text, params.position, desk.catalogue(text), desk.rulebook)

    @made.feature(types.TEXT_DOCUMENT_HOVER)
    def hover(params: types.HoverParams) -> types.Hover | None:
        text = desk.texts.get(params.text_document.uri)
        return None if text is None else answers.hover(text, params.position, desk.catalogue(text), desk.rulebook)

    @made.feature(types.TEXT_DOCUMENT_DEFINITION)
    def definition(params: types.DefinitionParams) -> types.Location | None:
        text = desk.texts.get(params.text_document.uri)
        return None if text is None else answers.definition(text, params.position, desk.catalogue(text), desk.rulebook)

    @made.feature(types.TEXT_DOCUMENT_INLAY_HINT)
    def hints(params: types.InlayHintParams) -> list[types.InlayHint]:
        text = desk.texts.get(params.text_document.uri)
        return answers.hints(text) if text is not None and desk.hints else []


def _edit(made: LanguageServer, desk: Desk) -> None:
    """Rename, and proven changes."""

    @made.feature(types.TEXT_DOCUMENT_RENAME)
    def rename(params: types.RenameParams) -> types.WorkspaceEdit | None:
        text = desk.texts.get(params.text_document.uri)
        try:
            return None if text is None else answers.rename(text, params.position, params.new_name)
        except Refusal as refusal:
            made.window_show_message(types.ShowMessageParams(types.MessageType.Warning, str(refusal)))
            return None

    @made.feature(types.TEXT_DOCUMENT_CODE_ACTION, types.CodeActionOptions([types.CodeActionKind.QuickFix]))
    def code_action(params: types.CodeActionParams) -> list[types.CodeAction]:
        text = desk.texts.get(params.text_document.uri)
        return [] if text is None else answers.code_actions(text, params.context.diagnostics)


def serve(folders: Sequence[Path] = (), today: datetime.date | None = None) -> None:
    """Serve on standard input and output until the editor says exit."""
    server(folders, today).start_io()
