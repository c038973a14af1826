-- Step 6: pieces and holds carry the name that the terminal calls them by: the class where no grade is likelier than
-- not, else the grade.

-- Of the rows that named a piece, its own and those that resolved it, the newest one that says the grade it has now;
-- its own where the resolve was taken back: an undo put the piece on hold again, with its tag, and no redo came after.
CREATE FUNCTION baywright.name_of(of_piece baywright.standing) RETURNS text
LANGUAGE sql STABLE SET search_path = pg_catalog, pg_temp AS $$
    SELECT coalesce(nullif((
        SELECT r.body::json ->> 'class' FROM baywright.ledger_row r
        WHERE r.chain = of_piece.chain AND r.grade_id IS NOT DISTINCT FROM of_piece.grade_id
            AND (r.seq = of_piece.seq OR r.refers = of_piece.row_id AND r.kind = 'resolve' AND NOT coalesce((
                SELECT m.kind = 'move' AND m.body::json ->> 'reason' = 'undo at the desk'
                FROM baywright.ledger_row m
                WHERE m.chain = of_piece.chain AND m.refers = of_piece.row_id AND (m.kind = 'resolve' OR
                    m.kind = 'move' AND (m.body::json ->> 'reason' = 'redo at the desk'
                    OR m.body::json ->> 'reason' = 'undo at the desk' AND m.tag IS NOT NULL))
                ORDER BY m.seq DESC LIMIT 1), false))
        ORDER BY r.seq DESC LIMIT 1), ''), of_piece.grade_id, '')
$$;

CREATE OR REPLACE VIEW baywright.piece_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, s.row_id, s.at, s.run_id, s.person, s.supplier, s.load, s.bay, s.grade_id, s.mass_g,
    s.pieces, s.tag, s.is_held, s.is_void, s.since, baywright.name_of(s) AS name
FROM baywright.standing s JOIN baywright.counted_v n USING (chain) WHERE s.kind = 'piece';

CREATE OR REPLACE VIEW baywright.hold_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, s.tag, s.bay, s.grade_id, s.mass_g, s.pieces, s.run_id, s.person, s.since,
    (extract(epoch FROM now() - s.since) / 86400)::integer AS age_days, baywright.name_of(s) AS name
FROM baywright.standing s JOIN baywright.counted_v n USING (chain)
WHERE s.is_held AND NOT s.is_void;

REVOKE ALL ON FUNCTION baywright.name_of(baywright.standing) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION baywright.name_of(baywright.standing) TO baywright_office;
