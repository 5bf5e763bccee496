"""A browser session without the browser: speaks the app's own protocol over its websocket.

What a page of Streamlit does is done here too: it holds the elements of the last run and the
values of their widgets, sends all of them with each change, and keeps large messages so that the
server can refer to them.  Nothing is drawn, so one process can be a whole class.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from types import TracebackType
from typing import Any

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ClientState_pb2 import ClientState
from streamlit.proto.Element_pb2 import Element
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from streamlit.proto.WidgetStates_pb2 import WidgetState
from websockets.asyncio.client import ClientConnection, connect

#: Runs for which the page keeps a message that is not used (the server is told what is kept).
KEPT_RUNS = 2
#: What Streamlit calls the events of a component.
_EVENTS = "$$STREAMLIT_INTERNAL_KEY_{id}__events"


@dataclass
class Page:
    """What one run of the script has put on the page, in the order in which it came."""

    elements: dict[tuple[int, ...], Element] = field(default_factory=dict)
    errors: list[str] = field(default_factory=list)
    finished: bool = False

    def of_kind(self, kind: str) -> Iterator[Any]:
        """The elements of a kind, as their own messages."""
        for element in self.elements.values():
            if element.WhichOneof("type") == kind:
                yield getattr(element, kind)

    def htmls(self) -> list[str]:
        """The bodies of the HTML elements."""
        return [each.body for each in self.of_kind("html")]

    def data(self, component: str) -> list[dict[str, Any]]:
        """What the components of a name were given."""
        return [
            json.loads(each.json)
            for each in self.of_kind("bidi_component")
            if each.component_name == component
        ]


class Session:
    """One session of the app at `address`; use it as an asynchronous context."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.page = Page()
        self.pages: dict[str, str] = {}
        self.script = ""
        self.received = 0
        self._values: dict[str, WidgetState] = {}
        self._kept: dict[str, tuple[ForwardMsg, int]] = {}
        self._runs = 0
        self._socket: ClientConnection | None = None

    async def __aenter__(self) -> Session:
        host = self.address.split("//", 1)[1]
        self._socket = await connect(
            f"ws://{host}/_stcore/stream",
            subprotocols=["streamlit"],  # type: ignore[list-item]
            origin=self.address,  # type: ignore[arg-type]
            max_size=None,
            open_timeout=60,
        )
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._socket is not None:
            await self._socket.close()

    # --- acts: each sends one change and waits until the script has run ---------------------

    async def open(self) -> Page:
        """Open the first page."""
        return await self._run()

    async def go(self, title: str) -> Page:
        """Change to another page by its link."""
        self.script = self.pages[title]
        return await self._run()

    async def press(self, label: str) -> Page:
        """Press the first button with this label."""
        button = next(each for each in self.page.of_kind("button") if each.label == label)
        return await self._run(WidgetState(id=button.id, trigger_value=True))

    async def choose(self, option: str, label: str) -> Page:
        """Choose one of the options side by side under a label."""
        group = next(each for each in self.page.of_kind("button_group") if each.label == label)
        state = WidgetState(id=group.id)
        state.string_array_value.data.append(option)
        return await self._run(state, keep=True)

    async def write(self, text: str, label: str) -> Page:
        """Fill a line of text and leave it."""
        box = next(each for each in self.page.of_kind("text_input") if each.label == label)
        return await self._run(WidgetState(id=box.id, string_value=text), keep=True)

    async def tell(self, component: str, event: str, value: object) -> Page:
        """Do in a component what makes it report an event."""
        at = next(e for e in self.page.of_kind("bidi_component") if e.component_name == component)
        payload = json.dumps([{"event": event, "value": value}])
        return await self._run(WidgetState(id=_EVENTS.format(id=at.id), json_trigger_value=payload))

    # --- the protocol ----------------------------------------------------------------------------

    async def _run(self, change: WidgetState | None = None, *, keep: bool = False) -> Page:
        """Send the state with one change, and receive all that the script then draws."""
        assert self._socket is not None
        states = dict(self._values)
        if change is not None:
            states[change.id] = change
            if keep:
                self._values[change.id] = change
        client = ClientState(page_script_hash=self.script)
        client.widget_states.widgets.extend(states.values())
        client.cached_message_hashes.extend(self._kept)
        client.context_info.url = f"{self.address}/"
        client.context_info.color_scheme = "light"
        await self._socket.send(BackMsg(rerun_script=client).SerializeToString())
        page = await self._receive()
        self._runs += 1
        self._kept = {h: m for h, m in self._kept.items() if self._runs - m[1] <= KEPT_RUNS}
        self._values = {
            id: state for each in page.elements.values() for id, state in self._value(each)
        }
        self.page = page
        return page

    async def _receive(self) -> Page:
        assert self._socket is not None
        page = Page()
        while not page.finished:
            packed = await asyncio.wait_for(self._socket.recv(), 60)
            assert isinstance(packed, bytes)
            self.received += len(packed)
            message = ForwardMsg.FromString(packed)
            if message.WhichOneof("type") == "ref_hash":
                kept, _ = self._kept[message.ref_hash]
                self._kept[message.ref_hash] = (kept, self._runs)
                full = ForwardMsg()
                full.CopyFrom(kept)
                full.metadata.CopyFrom(message.metadata)
                message = full
            elif message.metadata.cacheable:
                self._kept[message.hash] = (message, self._runs)
            page = self._take(page, message)
        return page

    def _take(self, page: Page, message: ForwardMsg) -> Page:
        """Put one message on the page; a run that begins anew empties it."""
        kind = message.WhichOneof("type")
        if kind == "new_session":
            self.script = message.new_session.page_script_hash
            return Page()
        if kind == "navigation":
            self.pages = {
                each.page_name: each.page_script_hash for each in message.navigation.app_pages
            }
            self.script = message.navigation.page_script_hash
        elif kind == "delta" and message.delta.WhichOneof("type") == "new_element":
            element = message.delta.new_element
            page.elements[tuple(message.metadata.delta_path)] = element
            if element.WhichOneof("type") == "exception":
                page.errors.append(f"{element.exception.type}: {element.exception.message}")
        elif kind == "script_finished":
            status = message.script_finished
            if status == ForwardMsg.FINISHED_WITH_COMPILE_ERROR:
                page.errors.append("the script did not compile")
            page.finished = status != ForwardMsg.FINISHED_EARLY_FOR_RERUN
        return page

    def _value(self, element: Element) -> Iterator[tuple[str, WidgetState]]:
        """The value that a page holds for a widget: what the script set, what was chosen, or
        the default."""
        kind = element.WhichOneof("type")
        if kind not in _DEFAULTS:
            return
        widget = getattr(element, kind)
        if widget.set_value or widget.id not in self._values:
            state = _DEFAULTS[kind](widget)
            if state is not None:
                yield widget.id, state
        else:
            yield widget.id, self._values[widget.id]


def _text(widget: Any) -> WidgetState:
    value = widget.value if widget.set_value else widget.default
    return WidgetState(id=widget.id, string_value=value)


def _checkbox(widget: Any) -> WidgetState:
    value = widget.value if widget.set_value else widget.default
    return WidgetState(id=widget.id, bool_value=value)


def _group(widget: Any) -> WidgetState:
    state = WidgetState(id=widget.id)
    chosen = (
        widget.raw_values
        if widget.set_value
        else [widget.options[index].content for index in widget.default]
    )
    state.string_array_value.data.extend(chosen)
    return state


def _list(widget: Any) -> WidgetState | None:
    if widget.set_value:
        value = widget.raw_value
        return WidgetState(id=widget.id, string_value=value) if value else None
    if not widget.HasField("default"):
        return None
    return WidgetState(id=widget.id, string_value=widget.options[widget.default])


#: How a page reads the first value of each kind of widget on the pages that are driven.
_DEFAULTS = {
    "text_input": _text,
    "text_area": _text,
    "checkbox": _checkbox,
    "button_group": _group,
    "selectbox": _list,
    "radio": _list,
}
