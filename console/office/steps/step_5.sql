-- Step 5: whose load a piece was said to be of later on counts here too, consignments are seen, and that an office
-- was put back is for everybody to read who looks at it.

-- Rows of a terminal come in order of time: by chain first they go to the end of its part, not all over the index.
DROP INDEX baywright.standing_at_chain_idx;
CREATE INDEX ON baywright.standing (chain, at);

CREATE OR REPLACE FUNCTION baywright.take_rows() RETURNS trigger
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
            SELECT f.seq, f.prev_hash <> coalesce(lag(f.row_hash) OVER (ORDER BY f.seq), h.row_hash) AS is_bad
            FROM fresh f JOIN baywright.head h USING (chain) WHERE f.chain = part.chain
        ) w WHERE w.is_bad;
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

    WITH added AS (
        INSERT INTO baywright.standing
            SELECT f.chain, f.seq, f.row_id, f.kind, f.at_utc::timestamptz, f.person, f.run_id,
                coalesce(f.bay, ''), f.grade_id, coalesce(f.mass_g, 0), coalesce(f.pieces, 0), f.tag,
                f.tag IS NOT NULL, false, f.at_utc::timestamptz, coalesce(b.supplier, ''), coalesce(b.load, '')
            FROM fresh f CROSS JOIN LATERAL json_to_record(f.body::json) AS b (supplier text, load text)
            WHERE f.kind IN ('piece', 'draw-down', 'ticket', 'note', 'check', 'lot', 'consignment')
        RETURNING chain, kind, bay, since, mass_g, pieces
    )
    INSERT INTO baywright.bay_day AS d
        SELECT a.chain, a.bay, (a.since AT TIME ZONE 'UTC')::date,
            coalesce(sum(a.mass_g) FILTER (WHERE a.kind = 'piece'), 0),
            coalesce(sum(a.mass_g) FILTER (WHERE a.kind = 'draw-down'), 0),
            count(*) FILTER (WHERE a.kind = 'piece'),
            coalesce(sum(a.pieces) FILTER (WHERE a.kind = 'piece'), 0)
        FROM added a WHERE a.kind IN ('piece', 'draw-down') GROUP BY 1, 2, 3 ORDER BY 1, 2, 3
    ON CONFLICT (chain, bay, day) DO UPDATE SET in_g = d.in_g + excluded.in_g, out_g = d.out_g + excluded.out_g,
        entries = d.entries + excluded.entries, pieces = d.pieces + excluded.pieces;
    IF EXISTS (SELECT FROM fresh f WHERE f.refers IS NOT NULL
               AND f.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve', 'load')) THEN
        PERFORM baywright.correct(f.chain, array_agg(DISTINCT f.refers)) FROM fresh f
        WHERE f.refers IS NOT NULL AND f.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve', 'load')
        GROUP BY f.chain;
    END IF;
    RETURN NULL;
END $$;

CREATE OR REPLACE FUNCTION baywright.correct(of_chain integer, row_ids text[]) RETURNS void
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
        since = coalesce(c.since, s.since),
        supplier = coalesce(c.supplier, s.supplier),
        load = coalesce(c.load, s.load)
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
                FILTER (WHERE r.kind IN ('move', 'resolve')))[1] AS since,
            (array_agg(r.body::json ->> 'supplier' ORDER BY r.seq DESC) FILTER (WHERE r.kind = 'load'))[1]
                AS supplier,
            (array_agg(r.body::json ->> 'load' ORDER BY r.seq DESC) FILTER (WHERE r.kind = 'load'))[1] AS load
        FROM baywright.ledger_row r
        WHERE r.chain = of_chain AND r.refers = ANY (row_ids)
            AND r.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve', 'load')
        GROUP BY r.refers
    ) c WHERE s.chain = of_chain AND s.row_id = c.refers;
    PERFORM baywright.add_to_days(array_agg(s)) FROM baywright.standing s
    WHERE s.chain = of_chain AND s.row_id = ANY (row_ids);
END $$;


-- What lies here already: consignments, whether they were taken back, and loads that were said later.
INSERT INTO baywright.standing
    SELECT r.chain, r.seq, r.row_id, r.kind, r.at_utc::timestamptz, r.person, r.run_id, '', NULL, 0, 0, NULL,
        false, false, r.at_utc::timestamptz
    FROM baywright.ledger_row r WHERE r.kind = 'consignment';
SELECT baywright.correct(r.chain, array_agg(DISTINCT r.refers)) FROM baywright.ledger_row r
WHERE r.kind = 'load' AND r.refers IS NOT NULL GROUP BY r.chain;
SELECT baywright.correct(r.chain, array_agg(DISTINCT r.refers)) FROM baywright.ledger_row r
JOIN baywright.standing s ON s.chain = r.chain AND s.row_id = r.refers AND s.kind = 'consignment'
WHERE r.kind IN ('void', 'unvoid') GROUP BY r.chain;

-- A part is named by the row that put it in and its number there, from 0, as on the terminal. The weight is that of
-- the truck scale where it was weighed as a whole, else that of its parts.
CREATE VIEW baywright.consignment_v WITH (security_invoker = true) AS
WITH said AS (
    SELECT n.yard, n.terminal, n.currency, s.chain, s.seq, s.row_id, s.at, s.person, b.*
    FROM baywright.standing s
    JOIN baywright.counted_v n USING (chain)
    JOIN baywright.ledger_row r ON r.chain = s.chain AND r.seq = s.seq AND r.kind = 'consignment'
    CROSS JOIN LATERAL json_to_record(r.body::json) AS b (consignment text, act text, buyer text, "order" text,
        parts json, taken json, gross_g bigint, tare_g bigint, vehicle text, finding json)
    WHERE s.kind = 'consignment' AND NOT s.is_void
), act AS (
    SELECT yard, terminal, currency, chain, consignment,
        min(buyer) FILTER (WHERE act = 'begin') AS buyer, min("order") FILTER (WHERE act = 'begin') AS order_code,
        min(person) FILTER (WHERE act = 'begin') AS person, min(at) FILTER (WHERE act = 'begin') AS begun_at,
        max(at) FILTER (WHERE act = 'seal') AS sealed_at, max(at) FILTER (WHERE act = 'send') AS sent_at,
        (array_agg(vehicle ORDER BY seq DESC) FILTER (WHERE act = 'send'))[1] AS vehicle,
        (array_agg(gross_g - tare_g ORDER BY seq DESC) FILTER (WHERE act = 'weigh'))[1] AS weighed_g,
        max(at) FILTER (WHERE act = 'found') AS found_at,
        (array_agg(finding ORDER BY seq DESC) FILTER (WHERE act = 'found'))[1] AS finding
    FROM said GROUP BY yard, terminal, currency, chain, consignment
), taken AS (
    SELECT t.chain, k.part FROM said t CROSS JOIN LATERAL json_array_elements_text(t.taken) AS k (part)
    WHERE t.act = 'take'
), part AS (
    SELECT p.chain, p.consignment, count(*) AS parts, sum((o.one ->> 'mass_g')::bigint) AS parts_g
    FROM said p CROSS JOIN LATERAL json_array_elements(p.parts) WITH ORDINALITY AS o (one, number)
    WHERE p.act = 'put' AND NOT EXISTS (
        SELECT FROM taken t WHERE t.chain = p.chain AND t.part = p.row_id || '/' || (o.number - 1))
    GROUP BY p.chain, p.consignment
)
SELECT a.yard, a.terminal, a.consignment, a.buyer, a.order_code, a.person,
    CASE WHEN a.sent_at IS NOT NULL THEN 'sent' WHEN a.sealed_at IS NOT NULL THEN 'sealed' ELSE 'open' END AS state,
    coalesce(p.parts, 0) AS parts, coalesce(a.weighed_g, p.parts_g, 0)::bigint AS net_g,
    a.begun_at, a.sealed_at, a.sent_at, a.vehicle, a.found_at, (a.finding ->> 'net_g')::bigint AS found_net_g,
    (a.finding ->> 'paid_cents')::numeric / 100 AS paid, (a.finding ->> 'lost_cents')::numeric / 100 AS lost,
    a.currency, coalesce(a.finding ->> 'words', '') AS words
FROM act a LEFT JOIN part p USING (chain, consignment)
WHERE a.begun_at IS NOT NULL;

-- A terminal that sent more than the office holds says so before it sends the rest again.
CREATE TABLE baywright.put_back (
    put_back bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    chain integer NOT NULL REFERENCES baywright.chain,
    at timestamptz NOT NULL DEFAULT clock_timestamp(),
    sent_seq bigint NOT NULL CHECK (sent_seq > 0),
    held_seq bigint NOT NULL CHECK (held_seq >= 0)
);
CREATE TRIGGER never_changes BEFORE UPDATE OR DELETE OR TRUNCATE ON baywright.put_back
FOR EACH STATEMENT EXECUTE FUNCTION baywright.never_changes();
ALTER TABLE baywright.put_back ENABLE ROW LEVEL SECURITY;
CREATE POLICY own_yard ON baywright.put_back FOR SELECT USING (chain IN (SELECT c.chain FROM baywright.chain c));
CREATE POLICY into_own_yard ON baywright.put_back FOR INSERT
    WITH CHECK (chain IN (SELECT c.chain FROM baywright.chain c));
GRANT INSERT ON baywright.put_back TO baywright_terminal;

-- Filled again: the first visit after it of a store that reaches as far as what was sent before.
CREATE VIEW baywright.put_back_v WITH (security_invoker = true) AS
SELECT c.yard, c.terminal, c.chain, p.sent_seq AS sent_up_to, p.held_seq AS held_up_to, p.at AS noticed_at,
    (SELECT min(v.at) FROM baywright.visit v WHERE v.chain = p.chain AND v.at >= p.at
     AND v.state <> 'behind' AND v.store_seq >= p.sent_seq) AS filled_at
FROM baywright.put_back p JOIN baywright.chain c USING (chain);
GRANT SELECT ON baywright.put_back, baywright.put_back_v, baywright.consignment_v TO baywright_office;
