"""A database as the first schema left it, with something in every table. Never changed: it is the past."""

import json

import sqlalchemy as sa

THEN = 1_790_000_000_000

ROWS = (
    ("club", {"id": "quay", "name": "Quay", "time_zone": "Europe/Lisbon", "created_ms": THEN}),
    ("person", {"id": "quay.mirela"}),
    ("account", {"messenger": "telegram", "user": "42", "person_id": "quay.mirela"}),
    (
        "membership",
        {
            "club_id": "quay", "id": "mirela", "person_id": "quay.mirela", "name": "Mirela", "role": "athlete",
            "language": "en", "joined_ms": THEN, "profile": json.dumps({"id": "mirela", "name": "Mirela"}),
        },
    ),
    ("chat", {"messenger": "telegram", "chat": "42", "club_id": "quay", "member_id": "mirela", "kind": "direct",
              "open": True, "used_ms": THEN}),
    ("chat", {"messenger": "telegram", "chat": "-7", "club_id": "quay", "kind": "group", "open": True, "used_ms": 0}),
    ("cursor", {"messenger": "telegram", "value": "99"}),
    ("conversation", {"messenger": "telegram", "chat": "42", "waiting_ms": THEN}),
    ("inbox", {"messenger": "telegram", "chat": "42", "message": "1", "revision": 0, "kind": "text", "written": 1,
               "envelope": json.dumps({"messenger": "telegram", "chat": "42", "message": "1", "kind": "text",
                                       "sent": "2026-10-05T06:00:00+00:00", "text": "5 5 4"}),
               "received_ms": THEN, "state": "new", "failures": 0, "why": ""}),
    ("entry", {"club_id": "quay", "member_id": "mirela", "message": "telegram 42 0", "revision": 0, "written": 0,
               "written_tie": "", "day": "2026-10-02", "text": "5 5", "context": "{}", "reading": "{}", "reader": "1",
               "heard_ms": THEN}),
    ("session", {"club_id": "quay", "member_id": "mirela", "day": "2026-10-02", "id": "2026-10-02", "skipped": False,
                 "pain": True, "pain_place": "elbow", "pain_score": 3}),
    ("done_set", {"club_id": "quay", "member_id": "mirela", "day": "2026-10-02", "position": 0, "reps": 5,
                  "added_g": 7500, "bands": "[]", "rpe_halves": 17, "failed": False}),
    ("done_set", {"club_id": "quay", "member_id": "mirela", "day": "2026-10-02", "position": 1, "exercise": "dip",
                  "reps": 4, "bands": "null", "failed": True}),
    ("prescription", {"club_id": "quay", "member_id": "mirela", "day": "2026-10-05", "sets": '[{"reps": 5}]',
                      "advice": "{}", "given_ms": THEN}),
    ("bodyweight", {"club_id": "quay", "member_id": "mirela", "day": "2026-10-02", "mass_g": 72400}),
    ("standing_order", {"club_id": "quay", "member_id": "mirela", "number": 1,
                        "content": json.dumps({"day": "2026-10-02", "by": "coach", "kind": "hold"})}),
    ("kit", {"club_id": "quay", "member_id": "mirela", "since": "2026-10-01", "content": '{"unit": "kg"}'}),
    ("question", {"club_id": "quay", "member_id": "mirela", "id": "q", "about": "pain", "asked_ms": THEN,
                  "expires_ms": THEN, "day": "2026-10-02", "subject": "elbow", "readings": "[]"}),
    ("told", {"club_id": "quay", "member_id": "mirela", "code": "welcome", "at_ms": THEN}),
    ("checkpoint", {"club_id": "quay", "member_id": "mirela", "exercise": "pull_up", "day": "2026-10-02",
                    "engine": "1", "inputs": "h", "content": "{}"}),
    ("occurrence", {"club_id": "quay", "member_id": "mirela", "kind": "session", "day": "2026-10-05",
                    "due_ms": THEN, "state": "planned"}),
    ("outbox", {"club_id": "quay", "member_id": "mirela", "messenger": "telegram", "chat": "42", "verb": "message",
                "lane": "reply", "lines": "[]", "buttons": "[]", "silent": False, "prescribes": True,
                "written_ms": THEN, "due_ms": THEN, "state": "waiting", "tries": 0, "again": False, "cause": "",
                "why": ""}),
    ("invite", {"code_hash": "h", "club_id": "quay", "member_id": "mirela", "created_ms": THEN,
                "expires_ms": THEN + 172_800_000, "revoked": False}),
    ("stranger", {"messenger": "telegram", "chat": "9", "guesses": 1, "answered": True}),
    ("consent", {"club_id": "quay", "member_id": "mirela", "kind": "health", "at_ms": THEN}),
    ("erasure", {"subject_hash": "h", "at_ms": THEN}),
    ("audit", {"club_id": "quay", "member_id": "mirela", "at_ms": THEN, "actor": "mirela", "cause": "telegram 42 0",
               "change": "Heard"}),
    ("setting", {"club_id": "quay", "name": "language", "value": "en"}),
)  # fmt: skip


def fill(connection: sa.Connection) -> None:
    """Insert every row by name, without the models of today."""
    for table, row in ROWS:
        names = ", ".join(f'"{name}"' for name in row)
        places = ", ".join(f":{name}" for name in row)
        connection.execute(sa.text(f'INSERT INTO "{table}" ({names}) VALUES ({places})'), row)
