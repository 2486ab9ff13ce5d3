"""Why the service does not do as asked."""

from __future__ import annotations


class Refusal(Exception):
    """An answer that is not ok: the code is HTTP's status too."""

    def __init__(
        self,
        code: int,
        description: str,
        *,
        retry_after: int | None = None,
        migrate_to_chat_id: int | None = None,
    ) -> None:
        super().__init__(description)
        self.code = code
        self.description = description
        told = {"retry_after": retry_after, "migrate_to_chat_id": migrate_to_chat_id}
        self.parameters = {name: value for name, value in told.items() if value is not None}

    def as_json(self) -> dict[str, object]:
        said: dict[str, object] = {
            "ok": False,
            "error_code": self.code,
            "description": self.description,
        }
        if self.parameters:
            said["parameters"] = self.parameters
        return said


def bad_request(what: str) -> Refusal:
    return Refusal(400, f"Bad Request: {what}")
