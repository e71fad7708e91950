"""The first schema."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "club",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("time_zone", sa.String(), nullable=False),
        sa.Column("created_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_club")),
        sa.UniqueConstraint("name", name=op.f("uq_club_name")),
    )
    op.create_table(
        "conversation",
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("waiting_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("messenger", "chat", name=op.f("pk_conversation")),
    )
    op.create_index(op.f("ix_conversation_waiting_ms"), "conversation", ["waiting_ms"], unique=False)
    op.create_table(
        "cursor",
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("messenger", name=op.f("pk_cursor")),
    )
    op.create_table(
        "erasure",
        sa.Column("subject_hash", sa.String(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("subject_hash", name=op.f("pk_erasure")),
    )
    op.create_table(
        "person", sa.Column("id", sa.String(), nullable=False), sa.PrimaryKeyConstraint("id", name=op.f("pk_person"))
    )
    op.create_table(
        "stranger",
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("guesses", sa.Integer(), nullable=False),
        sa.Column("answered", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("messenger", "chat", name=op.f("pk_stranger")),
    )
    op.create_table(
        "account",
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("user", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_account_person_id_person")),
        sa.PrimaryKeyConstraint("messenger", "user", name=op.f("pk_account")),
    )
    op.create_index(op.f("ix_account_person_id"), "account", ["person_id"], unique=False)
    op.create_table(
        "audit",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=True),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("actor", sa.String(), nullable=False),
        sa.Column("cause", sa.String(), nullable=False),
        sa.Column("change", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_audit_club_id_club")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit")),
    )
    op.create_index("ix_audit_club", "audit", ["club_id", "member_id"], unique=False)
    op.create_table(
        "inbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("message", sa.String(), nullable=False),
        sa.Column("revision", sa.BigInteger(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("written", sa.BigInteger(), nullable=False),
        sa.Column("envelope", sa.JSON(), nullable=False),
        sa.Column("received_ms", sa.BigInteger(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.CheckConstraint("state IN ('new', 'handled', 'aside')", name=op.f("ck_inbox_state")),
        sa.ForeignKeyConstraint(
            ["messenger", "chat"],
            ["conversation.messenger", "conversation.chat"],
            name=op.f("fk_inbox_messenger_chat_conversation"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inbox")),
        sa.UniqueConstraint(
            "messenger",
            "chat",
            "message",
            "revision",
            "kind",
            name=op.f("uq_inbox_messenger_chat_message_revision_kind"),
        ),
    )
    op.create_index("ix_inbox_waiting", "inbox", ["messenger", "chat", "state", "written"], unique=False)
    op.create_table(
        "membership",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("ward", sa.String(), nullable=True),
        sa.Column("shown_as", sa.String(), nullable=True),
        sa.Column("joined_ms", sa.BigInteger(), nullable=True),
        sa.Column("profile", sa.JSON(), nullable=False),
        sa.CheckConstraint("role IN ('athlete', 'coach', 'guardian')", name=op.f("ck_membership_role")),
        sa.ForeignKeyConstraint(
            ["club_id", "ward"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_membership_club_id_ward_membership"),
        ),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_membership_club_id_club")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_membership_person_id_person")),
        sa.PrimaryKeyConstraint("club_id", "id", name=op.f("pk_membership")),
    )
    op.create_index(op.f("ix_membership_person_id"), "membership", ["person_id"], unique=False)
    op.create_table(
        "setting",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_setting_club_id_club")),
        sa.PrimaryKeyConstraint("club_id", "name", name=op.f("pk_setting")),
    )
    op.create_table(
        "bodyweight",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("mass_g", sa.Integer(), nullable=False),
        sa.CheckConstraint("mass_g > 0", name=op.f("ck_bodyweight_mass")),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_bodyweight_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "day", name=op.f("pk_bodyweight")),
    )
    op.create_table(
        "chat",
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("open", sa.Boolean(), nullable=False),
        sa.Column("used_ms", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("(kind = 'direct') = (member_id IS NOT NULL)", name=op.f("ck_chat_direct_or_group")),
        sa.CheckConstraint("kind IN ('direct', 'group')", name=op.f("ck_chat_kind")),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_chat_club_id_member_id_membership"),
        ),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_chat_club_id_club")),
        sa.PrimaryKeyConstraint("messenger", "chat", name=op.f("pk_chat")),
    )
    op.create_index("ix_chat_member", "chat", ["club_id", "member_id"], unique=False)
    op.create_table(
        "checkpoint",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("exercise", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("engine", sa.String(), nullable=False),
        sa.Column("inputs", sa.String(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_checkpoint_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "exercise", "day", name=op.f("pk_checkpoint")),
    )
    op.create_table(
        "consent",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_consent_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "kind", name=op.f("pk_consent")),
    )
    op.create_table(
        "entry",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("message", sa.String(), nullable=False),
        sa.Column("revision", sa.BigInteger(), nullable=False),
        sa.Column("written", sa.BigInteger(), nullable=False),
        sa.Column("written_tie", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("context", sa.JSON(), nullable=False),
        sa.Column("reading", sa.JSON(), nullable=False),
        sa.Column("reader", sa.String(), nullable=False),
        sa.Column("heard_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_entry_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "message", "revision", name=op.f("pk_entry")),
    )
    op.create_index("ix_entry_day", "entry", ["club_id", "member_id", "day"], unique=False)
    op.create_table(
        "invite",
        sa.Column("code_hash", sa.String(), nullable=False),
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("created_ms", sa.BigInteger(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.Column("used_ms", sa.BigInteger(), nullable=True),
        sa.Column("used_by", sa.String(), nullable=True),
        sa.Column("revoked", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_invite_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("code_hash", name=op.f("pk_invite")),
    )
    op.create_table(
        "kit",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("since", sa.String(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_kit_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "since", name=op.f("pk_kit")),
    )
    op.create_table(
        "occurrence",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("due_ms", sa.BigInteger(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.CheckConstraint("state IN ('planned', 'done')", name=op.f("ck_occurrence_state")),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_occurrence_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "kind", "day", name=op.f("pk_occurrence")),
    )
    op.create_index("ix_occurrence_due", "occurrence", ["state", "due_ms"], unique=False)
    op.create_table(
        "outbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=True),
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("verb", sa.String(), nullable=False),
        sa.Column("lane", sa.String(), nullable=False),
        sa.Column("lines", sa.JSON(), nullable=False),
        sa.Column("buttons", sa.JSON(), nullable=False),
        sa.Column("picture", sa.JSON(), nullable=True),
        sa.Column("slot", sa.String(), nullable=True),
        sa.Column("target", sa.String(), nullable=True),
        sa.Column("thread", sa.String(), nullable=True),
        sa.Column("silent", sa.Boolean(), nullable=False),
        sa.Column("prescribes", sa.Boolean(), nullable=False),
        sa.Column("written_ms", sa.BigInteger(), nullable=False),
        sa.Column("due_ms", sa.BigInteger(), nullable=False),
        sa.Column("worthless_ms", sa.BigInteger(), nullable=True),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("again", sa.Boolean(), nullable=False),
        sa.Column("words", sa.JSON(), nullable=True),
        sa.Column("remote", sa.String(), nullable=True),
        sa.Column("ended_ms", sa.BigInteger(), nullable=True),
        sa.Column("cause", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.CheckConstraint(
            "state IN ('waiting', 'begun', 'sent', 'uncertain', 'refused', 'dropped')", name=op.f("ck_outbox_state")
        ),
        sa.CheckConstraint("verb IN ('message', 'edit', 'reaction', 'pin')", name=op.f("ck_outbox_verb")),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_outbox_club_id_member_id_membership"),
        ),
        sa.ForeignKeyConstraint(["club_id"], ["club.id"], name=op.f("fk_outbox_club_id_club")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox")),
    )
    op.create_index("ix_outbox_chat", "outbox", ["messenger", "chat", "state"], unique=False)
    op.create_index("ix_outbox_due", "outbox", ["state", "due_ms"], unique=False)
    op.create_index("ix_outbox_slot", "outbox", ["club_id", "member_id", "slot"], unique=False)
    op.create_table(
        "prescription",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("sets", sa.JSON(), nullable=False),
        sa.Column("advice", sa.JSON(), nullable=False),
        sa.Column("given_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_prescription_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "day", name=op.f("pk_prescription")),
    )
    op.create_table(
        "question",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("asked_ms", sa.BigInteger(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("readings", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_question_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", name=op.f("pk_question")),
    )
    op.create_table(
        "session",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("skipped", sa.Boolean(), nullable=False),
        sa.Column("pain", sa.Boolean(), nullable=False),
        sa.Column("pain_place", sa.String(), nullable=True),
        sa.Column("pain_score", sa.Integer(), nullable=True),
        sa.Column("pain_morning", sa.Integer(), nullable=True),
        sa.CheckConstraint("pain_morning BETWEEN 0 AND 10", name=op.f("ck_session_pain_morning")),
        sa.CheckConstraint("pain_score BETWEEN 0 AND 10", name=op.f("ck_session_pain_score")),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_session_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "day", name=op.f("pk_session")),
    )
    op.create_table(
        "standing_order",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_standing_order_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "number", name=op.f("pk_standing_order")),
    )
    op.create_table(
        "told",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_told_club_id_member_id_membership"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "code", name=op.f("pk_told")),
    )
    op.create_table(
        "done_set",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("day", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("exercise", sa.String(), server_default="pull_up", nullable=False),
        sa.Column("reps", sa.Integer(), nullable=False),
        sa.Column("added_g", sa.Integer(), nullable=True),
        sa.Column("bands", sa.JSON(), nullable=True),
        sa.Column("rpe_halves", sa.Integer(), nullable=True),
        sa.Column("failed", sa.Boolean(), nullable=False),
        sa.Column("seconds", sa.Integer(), nullable=True),
        sa.CheckConstraint("reps >= 0", name=op.f("ck_done_set_reps")),
        sa.CheckConstraint("rpe_halves BETWEEN 2 AND 20", name=op.f("ck_done_set_rpe_halves")),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id", "day"],
            ["session.club_id", "session.member_id", "session.day"],
            name=op.f("fk_done_set_club_id_member_id_day_session"),
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "day", "position", name=op.f("pk_done_set")),
    )


def downgrade() -> None:
    raise RuntimeError("there is no way back: restore a backup")
