"""Seats in a chat, whom a message is about, who joined and agreed, failures of what the clock owes."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

OCCURRENCE_STATES = "state IN ('planned', 'done', 'aside')"
LANES = "lane IN ('reply', 'broadcast')"


def upgrade() -> None:
    _people()
    _seats()
    _record()
    _doors()


def _people() -> None:
    with op.batch_alter_table("membership") as batch:
        batch.add_column(sa.Column("created_ms", sa.BigInteger(), nullable=False, server_default="0"))
    op.execute(
        "UPDATE membership SET created_ms = (SELECT club.created_ms FROM club WHERE club.id = membership.club_id)"
    )
    with op.batch_alter_table("invite") as batch:
        batch.add_column(sa.Column("used_name", sa.String(), nullable=True))
    with op.batch_alter_table("consent") as batch:
        batch.add_column(sa.Column("given_by", sa.String(), nullable=True))
        batch.add_column(sa.Column("withdrawn_ms", sa.BigInteger(), nullable=True))


def _seats() -> None:
    """Every direct chat had one membership: it has the first seat. A direct chat was called by its account's id."""
    with op.batch_alter_table("chat") as batch:
        batch.add_column(sa.Column("moved_to", sa.String(), nullable=True))
    op.create_table(
        "seat",
        sa.Column("club_id", sa.String(), nullable=False),
        sa.Column("member_id", sa.String(), nullable=False),
        sa.Column("messenger", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("account", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["club_id", "member_id"],
            ["membership.club_id", "membership.id"],
            name=op.f("fk_seat_club_id_member_id_membership"),
        ),
        sa.ForeignKeyConstraint(
            ["messenger", "chat"], ["chat.messenger", "chat.chat"], name=op.f("fk_seat_messenger_chat_chat")
        ),
        sa.PrimaryKeyConstraint("club_id", "member_id", "messenger", "chat", name=op.f("pk_seat")),
    )
    op.create_index("ix_seat_chat", "seat", ["messenger", "chat"])
    op.create_index("ix_seat_account", "seat", ["messenger", "account"])
    op.execute(
        "INSERT INTO seat (club_id, member_id, messenger, chat, account) "
        "SELECT club_id, member_id, messenger, chat, chat FROM chat WHERE member_id IS NOT NULL"
    )


def _record() -> None:
    with op.batch_alter_table("session") as batch:
        batch.create_unique_constraint(op.f("uq_session_club_id_member_id_id"), ["club_id", "member_id", "id"])
    with op.batch_alter_table("done_set") as batch:
        batch.create_check_constraint(op.f("ck_done_set_added_g"), "added_g >= 0")
        batch.create_check_constraint(op.f("ck_done_set_seconds"), "seconds >= 0")


def _doors() -> None:
    with op.batch_alter_table("occurrence") as batch:
        batch.add_column(sa.Column("failures", sa.Integer(), nullable=False, server_default="0"))
        batch.add_column(sa.Column("why", sa.String(), nullable=False, server_default=""))
        batch.drop_constraint(op.f("ck_occurrence_state"), type_="check")
        batch.create_check_constraint(op.f("ck_occurrence_state"), OCCURRENCE_STATES)
    with op.batch_alter_table("outbox") as batch:
        batch.add_column(sa.Column("about_id", sa.String(), nullable=True))
        batch.create_foreign_key(
            op.f("fk_outbox_club_id_about"), "membership", ["club_id", "about_id"], ["club_id", "id"]
        )
        batch.create_check_constraint(op.f("ck_outbox_lane"), LANES)
