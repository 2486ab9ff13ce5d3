"""HTTP/1.1 on the loopback, with trouble where a test asked for it."""

from __future__ import annotations

import asyncio
import json
import socket
from collections.abc import AsyncIterator, Coroutine
from contextlib import asynccontextmanager
from email import message_from_bytes
from urllib.parse import parse_qsl, unquote

import h11

from tests.bot_api.faults import Answers, CutsOff, Drips, Hangs, Resets
from tests.bot_api.refusals import Refusal
from tests.bot_api.service import BotApi


@asynccontextmanager
async def serving(api: BotApi, port: int = 0) -> AsyncIterator[str]:
    """Serve in the running event loop; gives the address to use in place of the public one."""
    wire = _Wire(api)
    server = await asyncio.start_server(wire.connected, "127.0.0.1", port)
    try:
        yield f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}"
    finally:
        server.close()
        await wire.close()


class _Gone(Exception):
    """The client closed the connection, or we are to."""


class _Wire:
    def __init__(self, api: BotApi) -> None:
        self._api = api
        self._tasks: set[asyncio.Task[None]] = set()

    async def connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None
        self._tasks.add(task)
        try:
            await _Connection(self._api, reader, writer).serve()
        except (_Gone, ConnectionError, h11.ProtocolError, asyncio.CancelledError):
            pass
        finally:
            self._tasks.discard(task)
            writer.close()

    async def close(self) -> None:
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)


class _Connection:
    def __init__(
        self, api: BotApi, reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> None:
        self._api = api
        self._reader = reader
        self._writer = writer
        self._h11 = h11.Connection(h11.SERVER)

    async def serve(self) -> None:
        while True:
            request, body = await self._request()
            target = request.target.decode()
            path, _, query = target.partition("?")
            values = dict(parse_qsl(query, keep_blank_values=True)) | _values(request, body)
            _, _, rest = unquote(path).partition("/bot")
            token, _, method = rest.partition("/")
            if path.startswith("/file/"):
                await self._hand_out(token, method)
            else:
                await self._answer(token, method, values)
            if self._h11.our_state is h11.MUST_CLOSE:
                return
            self._h11.start_next_cycle()

    async def _request(self) -> tuple[h11.Request, bytes]:
        request, body = None, b""
        while True:
            match self._h11.next_event():
                case h11.NEED_DATA:
                    await self._receive()
                case h11.Request() as request:
                    pass
                case h11.Data(data=data):
                    body += bytes(data)
                case h11.EndOfMessage():
                    assert request is not None
                    return request, body
                case _:
                    raise _Gone

    async def _receive(self) -> None:
        data = await self._reader.read(65536)
        self._h11.receive_data(data)
        if not data and self._h11.their_state is h11.IDLE:
            raise _Gone

    async def _answer(self, token: str, method: str, values: dict[str, str | bytes]) -> None:
        fault = self._api.faults.take(method)
        self._api.changed.set()
        match fault:
            case None:
                status, body = await self._while_there(self._call(token, method, values))
                await self._send(status, body)
            case Refusal() as refusal:
                await self._send(refusal.code, _json(refusal.as_json()))
            case Answers(status=status, body=body, done=done):
                if done:
                    await self._call(token, method, values)
                await self._send(status, body)
            case Resets(done=done):
                if done:
                    await self._call(token, method, values)
                self._reset()
                raise _Gone
            case Hangs(done=done):
                if done:
                    await self._call(token, method, values)
                await self._while_there(asyncio.Event().wait())
            case CutsOff(honest=honest, done=done):
                await self._half(token, method, values, honest=honest, done=done)
                raise _Gone
            case Drips(every_s=every_s, done=done):
                status, body = await self._call(token, method, values) if done else (200, b"{}")
                await self._while_there(self._drip(status, body, every_s))

    async def _call(
        self, token: str, method: str, values: dict[str, str | bytes]
    ) -> tuple[int, bytes]:
        try:
            result = await self._api.call(token, method, values)
        except Refusal as refusal:
            return refusal.code, _json(refusal.as_json())
        return 200, _json({"ok": True, "result": result})

    async def _hand_out(self, token: str, path: str) -> None:
        """A file; ``faults`` know it as the method "download"."""
        match self._api.faults.take("download"):
            case Hangs():
                await self._while_there(asyncio.Event().wait())
            case Resets():
                self._reset()
                raise _Gone
        try:
            await self._send(200, self._api.download(token, path))
        except Refusal as refusal:
            await self._send(refusal.code, _json(refusal.as_json()))

    async def _while_there(self, work: Coroutine[object, object, object]) -> tuple[int, bytes]:
        """The work's result, unless the client goes away first."""
        doing = asyncio.ensure_future(work)
        watching = asyncio.ensure_future(self._reader.read(65536))
        try:
            await asyncio.wait({doing, watching}, return_when=asyncio.FIRST_COMPLETED)
            if not doing.done():
                raise _Gone
            if watching.done():
                self._h11.receive_data(watching.result())
            return doing.result()  # type: ignore[return-value]
        finally:
            doing.cancel()
            watching.cancel()
            await asyncio.gather(doing, watching, return_exceptions=True)

    async def _send(self, status: int, body: bytes) -> None:
        self._writer.write(self._head(status, len(body)))
        self._writer.write(self._h11.send(h11.Data(data=body)) or b"")
        self._writer.write(self._h11.send(h11.EndOfMessage()) or b"")
        await self._writer.drain()

    def _head(self, status: int, length: int) -> bytes:
        headers = [("Content-Type", "application/json"), ("Content-Length", str(length))]
        return self._h11.send(h11.Response(status_code=status, headers=headers)) or b""

    async def _half(
        self, token: str, method: str, values: dict[str, str | bytes], *, honest: bool, done: bool
    ) -> None:
        status, body = await self._call(token, method, values) if done else (200, b'{"ok": true}')
        half = body[: len(body) // 2]
        self._writer.write(self._head(status, len(body) if honest else len(half)))
        self._writer.write(half)
        await self._writer.drain()

    async def _drip(self, status: int, body: bytes, every_s: float) -> None:
        self._writer.write(self._head(status, len(body)))
        for byte in body:
            self._writer.write(bytes([byte]))
            await self._writer.drain()
            await asyncio.sleep(every_s)

    def _reset(self) -> None:
        """RST in place of FIN."""
        transport = self._writer.transport
        raw = transport.get_extra_info("socket")
        raw.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\x00\x00\x00\x00\x00\x00\x00")
        transport.abort()


def _values(request: h11.Request, body: bytes) -> dict[str, str | bytes]:
    headers = {name.decode(): value.decode() for name, value in request.headers}
    kind = headers.get("content-type", "")
    if kind.startswith("application/json"):
        told = json.loads(body or b"{}")
        return {
            name: value if isinstance(value, str) else json.dumps(value)
            for name, value in told.items()
        }
    if kind.startswith("multipart/form-data"):
        return _form(kind, body)
    return dict(parse_qsl(body.decode(), keep_blank_values=True))


def _form(kind: str, body: bytes) -> dict[str, str | bytes]:
    whole = message_from_bytes(f"Content-Type: {kind}\r\n\r\n".encode() + body)
    found: dict[str, str | bytes] = {}
    for part in whole.get_payload():
        assert not isinstance(part, str)
        name = part.get_param("name", header="content-disposition")
        content = part.get_payload(decode=True)
        assert isinstance(content, bytes)
        found[str(name)] = content if part.get_filename() else content.decode()
    # A file may be sent under a name of its own, which the field then gives as attach://<name>.
    return {name: _attached(value, found) for name, value in found.items()}


def _attached(value: str | bytes, found: dict[str, str | bytes]) -> str | bytes:
    if isinstance(value, str) and value.startswith("attach://"):
        return found.get(value.removeprefix("attach://"), value)
    return value


def _json(told: object) -> bytes:
    return json.dumps(told).encode()
