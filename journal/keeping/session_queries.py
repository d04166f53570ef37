"""What is asked of the file about sessions: SQL."""

from __future__ import annotations

OVERALL = "overall"
LOOKED_INTO = 8  # a row whose sum does not hold may have put another one first
NEAR = "select id from main.tasting where at_ms between ? and ?"

PANEL = """
select g.id, g.at_ms, p.id, coalesce(w.code, p.reference), a.name, s.value
from score s
join sample p on p.id = s.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = s.assessor_id
left join wheel w on w.id = p.wheel_id
where g.binned_ms is null and g.lifted_ms is not null and w.binned_ms is null and s.attribute = ?
order by g.at_ms, s.id
"""

NAMED = """
select p.id, a.name, d.term
from defect_mark d
join sample p on p.id = d.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = d.assessor_id
left join wheel w on w.id = p.wheel_id
where g.binned_ms is null and g.lifted_ms is not null and w.binned_ms is null
order by d.id
"""

WHEELS = """
with sat as (
    select p.wheel_id, count(distinct p.tasting_id) as n, max(g.at_ms) as last
    from sample p join tasting g on g.id = p.tasting_id
    where g.binned_ms is null
    and g.lifted_ms is not null and exists (select 1 from score s where s.sample_id = p.id)
    group by p.wheel_id
)
select w.id, w.code, w.make_id, n.name, m.started_ms, m.zone, w.gone_ms is not null,
       coalesce(sat.n, 0), sat.last, m.failed,
       (select value from setting where key = 'verdict ' || m.uuid)
from wheel w join make m on m.id = w.make_id join plan n on n.id = m.plan_id
left join sat on sat.wheel_id = w.id
where w.binned_ms is null and m.binned_ms is null
order by m.started_ms desc, w.code
"""

SESSIONS = """
with held as materialized (
    select id, at_ms from tasting where binned_ms is null and lifted_ms is not null
), given as materialized (
    select sample_id, assessor_id from main.score group by sample_id, assessor_id
)
select g.id, g.at_ms, count(distinct p.wheel_id), count(distinct s.assessor_id)
from held g cross join sample p on p.tasting_id = g.id join given s on s.sample_id = p.id
where p.wheel_id in (select id from wheel where binned_ms is null)
group by g.id order by g.at_ms, g.id
"""

GIVEN = """
select g.id, g.at_ms, p.id, w.id, w.code, a.name, s.attribute, s.value
from score s
join sample p on p.id = s.sample_id
join tasting g on g.id = p.tasting_id
join assessor a on a.id = s.assessor_id
join wheel w on w.id = p.wheel_id
where g.binned_ms is null and g.lifted_ms is not null and w.binned_ms is null and {which} = ?
order by g.at_ms, s.id
"""

MEANS = """
select g.id, g.at_ms, w.id, w.code, s.attribute, avg(s.value)
from wheel w
join sample p on p.wheel_id = w.id
join tasting g on g.id = p.tasting_id
join score s on s.sample_id = p.id
where w.id = ? and w.binned_ms is null and g.binned_ms is null and g.lifted_ms is not null
group by g.id, s.attribute order by g.at_ms, g.id
"""

MAKES_OF_ITS_PLAN = """
select count(*)
from main.wheel v join main.make k on k.id = v.make_id join main.plan o on o.id = k.plan_id
join main.plan n on n.name = o.name join main.make m on m.plan_id = n.id
where v.id = ?
"""

# Where to look for the best first; what is said of it is read from rows whose sums hold.
BEST_FIRST = f"""
select w.id, g.id
from main.wheel v join main.make k on k.id = v.make_id join main.plan o on o.id = k.plan_id
join main.plan n on n.name = o.name join main.make m on m.plan_id = n.id
join main.wheel w on w.make_id = m.id
join main.sample p on p.wheel_id = w.id
join main.tasting g on g.id = p.tasting_id
join main.score s on s.sample_id = p.id
where v.id = ? and s.attribute = '{OVERALL}' and m.binned_ms is null and w.binned_ms is null
and g.binned_ms is null and g.lifted_ms is not null
group by g.id, w.id order by avg(s.value) desc, g.at_ms, g.id, w.id limit {LOOKED_INTO}
"""

SERVED = """
select g.id, g.at_ms, p.id from sample p join tasting g on g.id = p.tasting_id
where p.wheel_id = ? and g.binned_ms is null and g.lifted_ms is not null
order by g.at_ms desc, p.id
"""

# Of the scores an index alone is read: of a million that is a fifth of a second.
ATTRIBUTES = """
with hidden as materialized (
    select id from sample where wheel_id is null
    union select id from sample where tasting_id in (
        select id from tasting where binned_ms is not null or lifted_ms is null
    )
    union select id from sample where wheel_id in (
        select id from wheel where binned_ms is not null
        or make_id in (select id from make where binned_ms is not null)
    )
)
select attribute, count(*) from main.score where sample_id not in (select id from hidden)
group by attribute order by min(id)
"""

ANY = """
select exists (
    select 1 from main.sample p join main.tasting g on g.id = p.tasting_id
    join main.wheel w on w.id = p.wheel_id join main.make m on m.id = w.make_id
    where g.binned_ms is null and g.lifted_ms is not null
    and w.binned_ms is null and m.binned_ms is null
    and exists (select 1 from main.score s where s.sample_id = p.id)
)
"""

SERVINGS = """
select v.id, v.sample_id, v.assessor_id, a.name, v.position, v.code,
       (select count(*) from score x where x.sample_id = v.sample_id
          and x.assessor_id = v.assessor_id)
       + (select count(*) from defect_mark x where x.sample_id = v.sample_id
          and x.assessor_id = v.assessor_id)
       + (select count(*) from sample_note x where x.sample_id = v.sample_id
          and x.assessor_id = v.assessor_id)
from serving v
join sample p on p.id = v.sample_id
join assessor a on a.id = v.assessor_id
where p.tasting_id = ?
order by (select min(y.id) from serving y join sample q on q.id = y.sample_id
          where q.tasting_id = p.tasting_id and y.assessor_id = v.assessor_id), v.position
"""

NAMES = """
select p.id, coalesce(w.code, p.reference) from sample p left join wheel w on w.id = p.wheel_id
where p.tasting_id = ? order by p.id
"""

# Samples of wheels in the bin: a session that was revealed shows them no more.
DELETED = """
select p.id from sample p join wheel w on w.id = p.wheel_id
where p.tasting_id = ? and w.binned_ms is not null
"""
