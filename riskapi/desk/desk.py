"""What is at hand: the knowledge pack in use, what is kept, and the packs that earlier assessments were made with."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import URL

from riskapi.catalogue.load import load_pack, pack_files, read_pack
from riskapi.desk.recent import Recent
from riskapi.desk.shelf import PriceShelf
from riskapi.domain.knowledge import Pack
from riskapi.domain.what_if import Base
from riskapi.errors import KnowledgeError
from riskapi.report.sealing import Sealer
from riskapi.storage import Knowledge, Repository, SealKeys, migrate, open_database, pack_zip, unpack_zip

PACKS_KEPT = 4  # in memory, per process
BASES_KEPT = 16  # likewise, each of a few megabytes


@dataclass(frozen=True, slots=True)
class Desk:
    """`pack` is the one in use, `knowledge` the same as it is kept beside each assessment; `packs` are earlier ones
    that were needed lately, by digest, and `bases` what was computed of assessments made or asked about lately, by (id,
    digest of the pack); `address` is where the public reaches the service, without a slash at
    its end; `feed` has the prices of a price feed, where there is one."""

    pack: Pack
    knowledge: Knowledge
    repository: Repository
    packs: Recent[str, Pack] = field(default_factory=lambda: Recent(PACKS_KEPT), kw_only=True)
    bases: Recent[tuple[str, str], Base] = field(default_factory=lambda: Recent(BASES_KEPT), kw_only=True)
    address: str | None = field(default=None, kw_only=True)
    feed: PriceShelf | None = field(default=None, kw_only=True)

    def pack_of(self, digest: str) -> Pack:
        """The pack with this digest: the one in use, or as it was kept. Raises KnowledgeError where this program cannot
        read it any more, NotFound where no assessment used it."""
        return self.pack if digest == self.pack.digest else self.packs.get(digest, lambda: self._kept(digest))

    def knowledge_of(self, digest: str) -> Knowledge:
        """The same as it is kept. Raises NotFound."""
        return self.knowledge if digest == self.knowledge.digest else self.repository.knowledge(digest)

    @property
    def seal_keys(self) -> SealKeys:
        """The keys that seal documents."""
        return SealKeys(self.repository.engine)

    def sealer(self) -> Sealer:
        """What seals now: the key in use, which another process may have changed."""
        return Sealer(self.seal_keys.in_use(datetime.now(UTC)).private_key, self.address or "")

    def _kept(self, digest: str) -> Pack:
        pack = read_pack(unpack_zip(self.repository.knowledge(digest).content))
        if pack.digest != digest:
            raise KnowledgeError([])
        return pack


def open_desk(folder: Path | None = None, url: URL | str | None = None, feed_url: str | None = None) -> Desk:
    """With the pack in `folder` (default: the one in force) and the database at `url` (default: the one in force);
    prices of the feed at `feed_url` as a worker has fetched them.

    Raises KnowledgeError or InputError with every fault.
    """
    pack = load_pack(folder)
    engine = open_database(url)
    migrate(engine)
    knowledge = Knowledge(pack.digest, pack.version, pack_zip(pack_files(folder)))
    feed = PriceShelf(engine, feed_url) if feed_url else None
    return Desk(pack, knowledge, Repository(engine), feed=feed)
