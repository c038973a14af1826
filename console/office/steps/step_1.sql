-- Step 1 of the office. The rows of the terminals are kept as they are and never changed; everything else is
-- reckoned from them. Names in the schema "baywright" that end in _v are for people to query: they stay.

CREATE SCHEMA baywright;

CREATE TABLE baywright.step (
    number integer PRIMARY KEY,
    made_at timestamptz NOT NULL DEFAULT now()
);

-- A ledger is known by the hash of its first row. Where two stores of one ledger both went on, each is a branch:
-- a whole chain of its own from row 1, so that nothing needs to know where it forked but the person who decides.
CREATE TABLE baywright.chain (
    chain integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    ledger text NOT NULL CHECK (ledger ~ '^[0-9a-f]{64}$'),
    branch integer NOT NULL CHECK (branch >= 0),
    yard text NOT NULL,
    terminal text NOT NULL,
    currency text NOT NULL,
    fork_of integer REFERENCES baywright.chain,
    common_seq bigint,
    common_hash text,
    known_at timestamptz NOT NULL DEFAULT now(),
    UNIQUE (ledger, branch),
    CHECK ((branch = 0) = (fork_of IS NULL))
);

-- Partitioned by the year that the terminal wrote, as text: a clock that is off by a year puts rows into another
-- partition and does no harm; what no year of the list holds lies in the last one.
CREATE TABLE baywright.ledger_row (
    chain integer NOT NULL REFERENCES baywright.chain,
    seq bigint NOT NULL CHECK (seq > 0),
    row_id text NOT NULL,
    kind text NOT NULL,
    at_utc text COLLATE "C" NOT NULL,
    person text NOT NULL,
    terminal text NOT NULL,
    run_id text NOT NULL,
    refers text,
    bay text,
    grade_id text,
    mass_g bigint,
    pieces bigint,
    tag text,
    body text NOT NULL,
    evidence text,
    prev_hash text NOT NULL,
    row_hash text NOT NULL,
    arrived_at timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (chain, seq, at_utc)
) PARTITION BY RANGE (at_utc);

DO $$
BEGIN
    FOR year IN 2025..2036 LOOP
        EXECUTE format('CREATE TABLE baywright.ledger_row_%s PARTITION OF baywright.ledger_row '
            'FOR VALUES FROM (%L) TO (%L)', year, year::text, (year + 1)::text);
    END LOOP;
END $$;
CREATE TABLE baywright.ledger_row_other PARTITION OF baywright.ledger_row DEFAULT;
CREATE INDEX ON baywright.ledger_row (chain, refers) WHERE refers IS NOT NULL;
CREATE INDEX ON baywright.ledger_row (kind, chain, seq) WHERE kind NOT IN ('piece', 'void', 'move', 'reweigh');
CREATE INDEX ON baywright.ledger_row (chain, tag) WHERE tag IS NOT NULL;

-- Reckoned from the rows as they come, by the function below and by nobody else.
CREATE TABLE baywright.head (
    chain integer PRIMARY KEY REFERENCES baywright.chain,
    seq bigint NOT NULL,
    row_hash text NOT NULL,
    at_utc text NOT NULL,
    arrived_at timestamptz NOT NULL
);

CREATE TABLE baywright.standing (
    chain integer NOT NULL,
    seq bigint NOT NULL,
    row_id text NOT NULL,
    kind text NOT NULL,
    at timestamptz NOT NULL,
    person text NOT NULL,
    run_id text NOT NULL,
    bay text NOT NULL,
    grade_id text,
    mass_g bigint NOT NULL,
    pieces bigint NOT NULL,
    tag text,
    is_held boolean NOT NULL,
    is_void boolean NOT NULL DEFAULT false,
    since timestamptz NOT NULL,
    supplier text NOT NULL DEFAULT '',
    load text NOT NULL DEFAULT '',
    PRIMARY KEY (chain, row_id)
) WITH (fillfactor = 90);
CREATE INDEX ON baywright.standing (at) INCLUDE (chain);
CREATE INDEX ON baywright.standing (chain) WHERE is_held AND NOT is_void;

CREATE TABLE baywright.bay_day (
    chain integer NOT NULL,
    bay text NOT NULL,
    day date NOT NULL,
    in_g bigint NOT NULL,
    out_g bigint NOT NULL,
    entries bigint NOT NULL,
    pieces bigint NOT NULL,
    PRIMARY KEY (chain, bay, day)
) WITH (fillfactor = 50);

-- The hashed text of a row is told in the program's module for the chain; to_json escapes as it does.
CREATE FUNCTION baywright.hash_of(r baywright.ledger_row) RETURNS text LANGUAGE sql STABLE AS $$
    SELECT encode(sha256(convert_to(concat('[', r.seq, ',', to_json(r.row_id), ',', to_json(r.kind), ',',
        to_json(r.at_utc), ',', to_json(r.person), ',', to_json(r.terminal), ',', to_json(r.run_id), ',',
        coalesce(to_json(r.refers)::text, 'null'), ',', coalesce(to_json(r.bay)::text, 'null'), ',',
        coalesce(to_json(r.grade_id)::text, 'null'), ',', coalesce(r.mass_g::text, 'null'), ',',
        coalesce(r.pieces::text, 'null'), ',', coalesce(to_json(r.tag)::text, 'null'), ',',
        to_json(r.body), ',', coalesce(to_json(r.evidence)::text, 'null'), ',', to_json(r.prev_hash), ']'),
        'UTF8')), 'hex')
$$;

CREATE FUNCTION baywright.take_rows() RETURNS trigger
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    part record;
    bad bigint;
BEGIN
    FOR part IN SELECT f.chain, min(f.seq) AS first, max(f.seq) AS last, count(*) AS rows
                FROM fresh f GROUP BY f.chain ORDER BY f.chain LOOP
        INSERT INTO baywright.head AS h
            SELECT part.chain, 0, repeat('0', 64), '', now() ON CONFLICT (chain) DO NOTHING;
        PERFORM 1 FROM baywright.head h WHERE h.chain = part.chain AND h.seq = part.first - 1 FOR UPDATE;
        IF NOT FOUND OR part.last - part.first + 1 <> part.rows THEN
            RAISE EXCEPTION 'rows % to % do not follow the newest row here', part.first, part.last;
        END IF;
        SELECT min(w.seq) INTO bad FROM (
            SELECT f.seq, f.prev_hash, coalesce(lag(f.row_hash) OVER (ORDER BY f.seq), h.row_hash) AS before
            FROM fresh f JOIN baywright.head h USING (chain) WHERE f.chain = part.chain
        ) w WHERE w.prev_hash <> w.before;
        IF bad IS NULL THEN
            SELECT min(f.seq) INTO bad FROM fresh f
            WHERE f.chain = part.chain AND f.row_hash <> baywright.hash_of(ROW(f.*)::baywright.ledger_row);
        END IF;
        IF bad IS NULL AND part.first = 1 THEN
            SELECT f.seq INTO bad FROM fresh f JOIN baywright.chain c USING (chain)
            WHERE f.chain = part.chain AND f.seq = 1 AND f.row_hash <> c.ledger;
        END IF;
        IF bad IS NOT NULL THEN
            RAISE EXCEPTION 'row % does not agree with its hash or with the row before it', bad;
        END IF;
        UPDATE baywright.head h SET seq = f.seq, row_hash = f.row_hash, at_utc = f.at_utc,
            arrived_at = clock_timestamp()
        FROM fresh f WHERE f.chain = part.chain AND f.seq = part.last AND h.chain = part.chain;
        PERFORM pg_notify('baywright', part.chain::text);
    END LOOP;

    INSERT INTO baywright.standing
        SELECT f.chain, f.seq, f.row_id, f.kind, f.at_utc::timestamptz, f.person, f.run_id, coalesce(f.bay, ''),
            f.grade_id, coalesce(f.mass_g, 0), coalesce(f.pieces, 0), f.tag, f.tag IS NOT NULL, false,
            f.at_utc::timestamptz, coalesce(f.body::json ->> 'supplier', ''), coalesce(f.body::json ->> 'load', '')
        FROM fresh f WHERE f.kind IN ('piece', 'draw-down', 'ticket', 'note', 'check', 'lot');
    PERFORM baywright.add_to_days(array_agg(s)) FROM baywright.standing s JOIN fresh f
        ON s.chain = f.chain AND s.row_id = f.row_id WHERE f.kind IN ('piece', 'draw-down');
    IF EXISTS (SELECT FROM fresh f WHERE f.refers IS NOT NULL
               AND f.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve')) THEN
        PERFORM baywright.correct(f.chain, array_agg(DISTINCT f.refers)) FROM fresh f
        WHERE f.refers IS NOT NULL AND f.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve')
        GROUP BY f.chain;
    END IF;
    RETURN NULL;
END $$;

CREATE FUNCTION baywright.add_to_days(rows baywright.standing[], sign integer DEFAULT 1) RETURNS void
LANGUAGE sql SET search_path = pg_catalog, pg_temp AS $$
    INSERT INTO baywright.bay_day AS d
        SELECT s.chain, s.bay, (s.since AT TIME ZONE 'UTC')::date,
            sign * coalesce(sum(s.mass_g) FILTER (WHERE s.kind = 'piece'), 0),
            sign * coalesce(sum(s.mass_g) FILTER (WHERE s.kind = 'draw-down'), 0),
            sign * count(*) FILTER (WHERE s.kind = 'piece'),
            sign * coalesce(sum(s.pieces) FILTER (WHERE s.kind = 'piece'), 0)
        FROM unnest(rows) s WHERE NOT s.is_void AND s.kind IN ('piece', 'draw-down')
        GROUP BY 1, 2, 3 ORDER BY 1, 2, 3
    ON CONFLICT (chain, bay, day) DO UPDATE SET in_g = d.in_g + excluded.in_g, out_g = d.out_g + excluded.out_g,
        entries = d.entries + excluded.entries, pieces = d.pieces + excluded.pieces
$$;

-- A row as it stands after all its corrections, each field by the last correction that says something of it:
-- the same as the terminal's replay, which a test holds.
CREATE FUNCTION baywright.correct(of_chain integer, row_ids text[]) RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    was baywright.standing[];
BEGIN
    SELECT array_agg(s) INTO was FROM baywright.standing s
    WHERE s.chain = of_chain AND s.row_id = ANY (row_ids);
    IF was IS NULL THEN
        RETURN;
    END IF;
    PERFORM baywright.add_to_days(was, -1);
    UPDATE baywright.standing s SET
        is_void = coalesce(c.is_void, false),
        bay = coalesce(c.bay, s.bay),
        is_held = coalesce(c.is_held, s.is_held),
        tag = coalesce(c.tag, s.tag),
        grade_id = CASE WHEN c.names THEN nullif(c.grade_id, '') ELSE s.grade_id END,
        mass_g = coalesce(c.mass_g, s.mass_g),
        pieces = coalesce(c.pieces, s.pieces),
        since = coalesce(c.since, s.since)
    FROM (
        SELECT r.refers,
            (array_agg(r.kind = 'void' ORDER BY r.seq DESC) FILTER (WHERE r.kind IN ('void', 'unvoid')))[1]
                AS is_void,
            (array_agg(r.bay ORDER BY r.seq DESC)
                FILTER (WHERE r.kind IN ('move', 'resolve') AND r.bay <> ''))[1] AS bay,
            (array_agg(r.kind = 'move' AND r.tag IS NOT NULL ORDER BY r.seq DESC)
                FILTER (WHERE r.kind IN ('move', 'resolve')))[1] AS is_held,
            (array_agg(r.tag ORDER BY r.seq DESC) FILTER (WHERE r.kind = 'move' AND r.tag <> ''))[1] AS tag,
            bool_or(r.kind = 'resolve' OR r.kind = 'move' AND r.grade_id IS NOT NULL) AS names,
            (array_agg(r.grade_id ORDER BY r.seq DESC)
                FILTER (WHERE r.kind = 'resolve' OR r.kind = 'move' AND r.grade_id IS NOT NULL))[1] AS grade_id,
            (array_agg(r.mass_g ORDER BY r.seq DESC)
                FILTER (WHERE r.kind = 'reweigh' AND r.mass_g IS NOT NULL))[1] AS mass_g,
            (array_agg(r.pieces ORDER BY r.seq DESC)
                FILTER (WHERE r.kind = 'reweigh' AND r.pieces IS NOT NULL))[1] AS pieces,
            (array_agg(r.at_utc::timestamptz ORDER BY r.seq DESC)
                FILTER (WHERE r.kind IN ('move', 'resolve')))[1] AS since
        FROM baywright.ledger_row r
        WHERE r.chain = of_chain AND r.refers = ANY (row_ids)
            AND r.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve')
        GROUP BY r.refers
    ) c WHERE s.chain = of_chain AND s.row_id = c.refers;
    PERFORM baywright.add_to_days(array_agg(s)) FROM baywright.standing s
    WHERE s.chain = of_chain AND s.row_id = ANY (row_ids);
END $$;

CREATE TRIGGER rows_are_taken AFTER INSERT ON baywright.ledger_row
REFERENCING NEW TABLE AS fresh FOR EACH STATEMENT EXECUTE FUNCTION baywright.take_rows();

-- Every gather leaves a line, also one that found nothing new: so the office knows who was not heard of.
CREATE TABLE baywright.visit (
    visit bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    chain integer NOT NULL REFERENCES baywright.chain,
    at timestamptz NOT NULL DEFAULT clock_timestamp(),
    state text NOT NULL CHECK (state IN ('in step', 'behind', 'fork')),
    store_seq bigint NOT NULL,
    clock_off interval
);
CREATE INDEX ON baywright.visit (chain, visit DESC);

-- Which branch of a forked ledger counts: the last word of a person stands, the first branch until then.
CREATE TABLE baywright.decision (
    decision bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    chain integer NOT NULL REFERENCES baywright.chain,
    person text NOT NULL CHECK (person <> ''),
    at timestamptz NOT NULL DEFAULT clock_timestamp()
);

CREATE FUNCTION baywright.never_changes() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'rows of % are never changed or deleted', TG_TABLE_NAME USING ERRCODE = '42501';
END $$;

DO $$
DECLARE
    name text;
BEGIN
    FOREACH name IN ARRAY ARRAY['step', 'chain', 'ledger_row', 'visit', 'decision'] LOOP
        EXECUTE format('CREATE TRIGGER never_changes BEFORE UPDATE OR DELETE OR TRUNCATE ON baywright.%I '
            'FOR EACH STATEMENT EXECUTE FUNCTION baywright.never_changes()', name);
    END LOOP;
END $$;

-- The same guard on each partition, since it can be named by itself.
DO $$
DECLARE
    part regclass;
BEGIN
    FOR part IN SELECT inhrelid::regclass FROM pg_inherits WHERE inhparent = 'baywright.ledger_row'::regclass LOOP
        EXECUTE format('CREATE TRIGGER never_changes BEFORE UPDATE OR DELETE OR TRUNCATE ON %s '
            'FOR EACH STATEMENT EXECUTE FUNCTION baywright.never_changes()', part);
    END LOOP;
END $$;

-- What people query. Weights in grams; times with zone; money in the currency of the yard beside it.

CREATE VIEW baywright.counted_v WITH (security_invoker = true) AS
SELECT DISTINCT ON (c.ledger) c.chain, c.ledger, c.branch, c.yard, c.terminal, c.currency
FROM baywright.chain c
LEFT JOIN (SELECT chain, max(decision) AS last FROM baywright.decision GROUP BY chain) d USING (chain)
ORDER BY c.ledger, d.last DESC NULLS LAST, c.branch;

CREATE VIEW baywright.fork_v WITH (security_invoker = true) AS
SELECT c.yard, c.terminal, c.chain, c.fork_of, c.common_seq, c.common_hash, c.known_at,
    (SELECT array_agg(DISTINCT a.tag ORDER BY a.tag) FROM baywright.ledger_row a
     JOIN baywright.ledger_row b ON b.chain = c.fork_of AND b.tag = a.tag AND b.seq > c.common_seq
     WHERE a.chain = c.chain AND a.seq > c.common_seq AND a.tag IS NOT NULL) AS twice,
    EXISTS (SELECT FROM baywright.decision d JOIN baywright.chain o USING (chain)
            WHERE o.ledger = c.ledger AND d.at > c.known_at) AS is_decided
FROM baywright.chain c WHERE c.fork_of IS NOT NULL;

CREATE VIEW baywright.terminal_v WITH (security_invoker = true) AS
SELECT c.yard, c.terminal, c.chain, c.branch, n.chain IS NOT NULL AS counts, coalesce(h.seq, 0) AS rows,
    greatest(v.store_seq - coalesce(h.seq, 0), 0) AS rows_waiting, nullif(h.at_utc, '')::timestamptz AS written_at,
    h.arrived_at, v.at AS heard_at, now() - v.at AS lag, v.state, v.clock_off
FROM baywright.chain c
LEFT JOIN baywright.counted_v n USING (chain)
LEFT JOIN baywright.head h USING (chain)
LEFT JOIN LATERAL (SELECT * FROM baywright.visit v WHERE v.chain = c.chain ORDER BY v.visit DESC LIMIT 1) v ON true;

CREATE VIEW baywright.stock_v WITH (security_invoker = true) AS
SELECT n.yard, d.bay, sum(d.in_g - d.out_g) AS lying_g, sum(d.in_g) AS in_g, sum(d.out_g) AS out_g,
    sum(d.entries) AS entries, sum(d.pieces) AS pieces
FROM baywright.bay_day d JOIN baywright.counted_v n USING (chain)
GROUP BY n.yard, d.bay;

-- What left a bay is taken to be what came first; so the age is that of the youngest metal that can lie there.
CREATE VIEW baywright.stock_age_v WITH (security_invoker = true) AS
SELECT w.yard, w.bay, w.day, least(w.in_g, w.upto_g - w.out_g) AS lying_g, current_date - w.day AS age_days
FROM (
    SELECT n.yard, d.bay, d.day, sum(d.in_g) AS in_g,
        sum(sum(d.in_g)) OVER (PARTITION BY n.yard, d.bay ORDER BY d.day) AS upto_g,
        sum(sum(d.out_g)) OVER (PARTITION BY n.yard, d.bay) AS out_g
    FROM baywright.bay_day d JOIN baywright.counted_v n USING (chain)
    GROUP BY n.yard, d.bay, d.day
) w WHERE w.upto_g > w.out_g AND w.in_g > 0;

CREATE VIEW baywright.run_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, r.run_id,
    min(r.at_utc::timestamptz) FILTER (WHERE r.kind = 'open') AS opened_at,
    (array_agg(r.person ORDER BY r.seq DESC) FILTER (WHERE r.kind IN ('open', 'take-over')))[1] AS person,
    max(r.at_utc::timestamptz) FILTER (WHERE r.kind = 'close') AS closed_at,
    (array_agg(r.person ORDER BY r.seq DESC) FILTER (WHERE r.kind = 'close'))[1] AS closed_by,
    (array_agg(r.body::json ->> 'explanation' ORDER BY r.seq DESC) FILTER (WHERE r.kind = 'close'))[1]
        AS explanation
FROM baywright.ledger_row r JOIN baywright.counted_v n USING (chain)
WHERE r.kind IN ('open', 'take-over', 'close')
GROUP BY n.yard, n.terminal, n.chain, r.run_id;

CREATE VIEW baywright.piece_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, s.row_id, s.at, s.run_id, s.person, s.supplier, s.load, s.bay, s.grade_id, s.mass_g,
    s.pieces, s.tag, s.is_held, s.is_void, s.since
FROM baywright.standing s JOIN baywright.counted_v n USING (chain) WHERE s.kind = 'piece';

CREATE VIEW baywright.hold_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, s.tag, s.bay, s.grade_id, s.mass_g, s.pieces, s.run_id, s.person, s.since,
    (extract(epoch FROM now() - s.since) / 86400)::integer AS age_days
FROM baywright.standing s JOIN baywright.counted_v n USING (chain)
WHERE s.is_held AND NOT s.is_void;

CREATE VIEW baywright.draw_down_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, s.row_id, s.at, s.run_id, s.person, s.bay, s.mass_g,
    coalesce(r.body::json ->> 'bale', '') AS bale, coalesce(r.body::json ->> 'reason', '') AS reason, s.is_void
FROM baywright.standing s
JOIN baywright.counted_v n USING (chain)
JOIN baywright.ledger_row r ON r.chain = s.chain AND r.seq = s.seq
WHERE s.kind = 'draw-down';

CREATE VIEW baywright.downgrade_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, s.row_id, s.at, s.run_id, s.person, r.refers AS draw_down,
    (d.said ->> 'mass_g')::bigint AS mass_g, (d.said ->> 'loss')::numeric AS loss, n.currency,
    coalesce(d.said ->> 'reason', '') AS reason, d.said ->> 'grade_id' AS grade_id
FROM baywright.standing s
JOIN baywright.counted_v n USING (chain)
JOIN baywright.ledger_row r ON r.chain = s.chain AND r.seq = s.seq AND r.kind = 'note' AND r.refers IS NOT NULL
CROSS JOIN LATERAL (SELECT r.body::json -> 'downgrade' AS said) d
WHERE s.kind = 'note' AND NOT s.is_void AND d.said IS NOT NULL;

-- Bias of an analyser: measured less known, over the shots on check samples that stand [wt %].
CREATE VIEW baywright.check_bias_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, r.body::json ->> 'technique' AS technique, r.body::json ->> 'sample' AS sample,
    e.one ->> 'symbol' AS element, count(*) AS shots, avg((e.one ->> 'bias')::numeric) AS bias_wt_pct,
    avg((e.one ->> 'z')::numeric) AS mean_z, max(s.at) AS last_at
FROM baywright.standing s
JOIN baywright.counted_v n USING (chain)
JOIN baywright.ledger_row r ON r.chain = s.chain AND r.seq = s.seq AND r.kind = 'check'
CROSS JOIN LATERAL json_array_elements(r.body::json -> 'elements') AS e (one)
WHERE s.kind = 'check' AND NOT s.is_void AND e.one ->> 'bias' IS NOT NULL
GROUP BY 1, 2, 3, 4, 5;

-- Who may do what. A login is made by whoever keeps the server, and let in by baywright.let_in.
DO $$
DECLARE
    role text;
BEGIN
    FOREACH role IN ARRAY ARRAY['baywright_terminal', 'baywright_office'] LOOP
        BEGIN
            EXECUTE format('CREATE ROLE %I NOLOGIN', role);
        EXCEPTION WHEN duplicate_object OR unique_violation THEN
            NULL; -- roles belong to the server: another office on it has made them
        END;
    END LOOP;
END $$;

CREATE TABLE baywright.login (
    role_name name NOT NULL,
    yard text NOT NULL CHECK (yard <> ''),
    PRIMARY KEY (role_name, yard)
);

CREATE FUNCTION baywright.let_in(who name, as_what text, of_yard text DEFAULT '*') RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    IF as_what NOT IN ('terminal', 'office') OR as_what = 'terminal' AND of_yard = '*' THEN
        RAISE EXCEPTION 'needs: terminal and its yard, or office and a yard (* for all)';
    END IF;
    EXECUTE format('GRANT %I TO %I', 'baywright_' || as_what, who);
    INSERT INTO baywright.login VALUES (who, of_yard) ON CONFLICT DO NOTHING;
END $$;
REVOKE ALL ON ALL FUNCTIONS IN SCHEMA baywright FROM PUBLIC;

GRANT USAGE ON SCHEMA baywright TO baywright_terminal, baywright_office;
GRANT EXECUTE ON FUNCTION baywright.hash_of(baywright.ledger_row) TO baywright_terminal, baywright_office;
GRANT SELECT ON baywright.step, baywright.login, baywright.chain, baywright.head, baywright.ledger_row,
    baywright.visit, baywright.decision, baywright.fork_v, baywright.counted_v
    TO baywright_terminal, baywright_office;
GRANT INSERT ON baywright.chain, baywright.ledger_row, baywright.visit TO baywright_terminal;
GRANT SELECT ON ALL TABLES IN SCHEMA baywright TO baywright_office;
GRANT INSERT ON baywright.decision TO baywright_office;

ALTER TABLE baywright.login ENABLE ROW LEVEL SECURITY;
CREATE POLICY own ON baywright.login FOR SELECT USING (role_name = current_user);
ALTER TABLE baywright.chain ENABLE ROW LEVEL SECURITY;
CREATE POLICY own_yard ON baywright.chain FOR SELECT
    USING (EXISTS (SELECT FROM baywright.login l WHERE l.yard IN (chain.yard, '*')));
CREATE POLICY into_own_yard ON baywright.chain FOR INSERT
    WITH CHECK (EXISTS (SELECT FROM baywright.login l WHERE l.yard = chain.yard));

DO $$
DECLARE
    name text;
BEGIN
    FOREACH name IN ARRAY ARRAY['ledger_row', 'head', 'standing', 'bay_day', 'visit', 'decision'] LOOP
        EXECUTE format('ALTER TABLE baywright.%I ENABLE ROW LEVEL SECURITY', name);
        EXECUTE format('CREATE POLICY own_yard ON baywright.%I FOR SELECT '
            'USING (chain IN (SELECT c.chain FROM baywright.chain c))', name);
    END LOOP;
    FOREACH name IN ARRAY ARRAY['ledger_row', 'visit', 'decision'] LOOP
        EXECUTE format('CREATE POLICY into_own_yard ON baywright.%I FOR INSERT '
            'WITH CHECK (chain IN (SELECT c.chain FROM baywright.chain c))', name);
    END LOOP;
END $$;
