"""A balance: posts with their elements, and what is proven of it."""

from __future__ import annotations

from dataclasses import dataclass

from pullwright.pull.balance.work import TICK, Work


@dataclass(frozen=True)
class Balance:
    """Elements shared out among posts.

    `posts`: names of the elements at each post, from where the work begins; within a post in an order in which they can be done.
    `takt` (s): what each post has for its round. `at_least`: so few posts are proven to be impossible to undercut. `reasons`: why not
    one post fewer, sentence by sentence. `by`: what found it, in words. `takt_at_least` (s): with so many posts, the
    longest round is proven never to be shorter; None where that was not asked. `part_plans`: so many part-plans the search went on from.
    """

    work: Work
    takt: float
    posts: tuple[tuple[str, ...], ...]
    at_least: int
    reasons: tuple[str, ...] = ()
    by: str = ""
    takt_at_least: float | None = None
    part_plans: int = 0

    @property
    def proven(self) -> bool:
        """Is it proven that no balance has fewer posts?"""
        return self.at_least >= len(self.posts)

    @property
    def loads(self) -> tuple[float, ...]:
        """The time of each post's round (s)."""
        times = {element.name: element.time for element in self.work.elements}
        return tuple(sum(times[name] for name in post) for post in self.posts)

    @property
    def longest(self) -> float:
        """The longest round of all posts (s)."""
        return max(self.loads, default=0.0)

    @property
    def takt_proven(self) -> bool:
        """Is it proven that with so many posts the longest round cannot be shorter?"""
        return self.takt_at_least is not None and self.takt_at_least >= self.longest - TICK / 1000

    @property
    def efficiency(self) -> float:
        """Which share of the posts' time is work? 1 where every post is full."""
        return self.work.total / (self.takt * len(self.posts)) if self.posts and self.takt else 0.0
