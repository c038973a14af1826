-- Step 4: the days are added up straight from the rows that come, without an array of all of them in between.

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
            WHERE f.kind IN ('piece', 'draw-down', 'ticket', 'note', 'check', 'lot')
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
               AND f.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve')) THEN
        PERFORM baywright.correct(f.chain, array_agg(DISTINCT f.refers)) FROM fresh f
        WHERE f.refers IS NOT NULL AND f.kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve')
        GROUP BY f.chain;
    END IF;
    RETURN NULL;
END $$;
