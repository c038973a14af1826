-- Step 3: down the wire. What the office says to a yard: prices, bay rules, people and buyers, as text that was
-- signed where the office's key lies. The server keeps it in order and whole; whose it is, the terminals check.

CREATE TABLE baywright.word (
    yard text NOT NULL CHECK (yard <> ''),
    number integer NOT NULL CHECK (number > 0),
    at_utc text COLLATE "C" NOT NULL,
    person text NOT NULL CHECK (person <> ''),
    said text NOT NULL CHECK (length(said) <= 100000),
    prev_hash text NOT NULL,
    row_hash text NOT NULL,
    key text NOT NULL,
    signature text NOT NULL,
    arrived_at timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (yard, number)
);

CREATE FUNCTION baywright.word_follows() RETURNS trigger
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    before text;
BEGIN
    SELECT w.row_hash INTO before FROM baywright.word w WHERE w.yard = NEW.yard AND w.number = NEW.number - 1;
    IF NEW.number > 1 AND before IS NULL OR NEW.prev_hash <> coalesce(before, repeat('0', 64))
        OR NEW.row_hash <> encode(sha256(convert_to(concat('[', to_json(NEW.yard), ',', NEW.number, ',',
            to_json(NEW.at_utc), ',', to_json(NEW.person), ',', to_json(NEW.said), ',',
            to_json(NEW.prev_hash), ']'), 'UTF8')), 'hex') THEN
        RAISE EXCEPTION 'word % does not follow the newest one here, or is not as it was signed', NEW.number;
    END IF;
    PERFORM pg_notify('baywright', 'word');
    RETURN NEW;
END $$;
REVOKE ALL ON FUNCTION baywright.word_follows() FROM PUBLIC;
CREATE TRIGGER word_follows BEFORE INSERT ON baywright.word
FOR EACH ROW EXECUTE FUNCTION baywright.word_follows();
CREATE TRIGGER never_changes BEFORE UPDATE OR DELETE OR TRUNCATE ON baywright.word
FOR EACH STATEMENT EXECUTE FUNCTION baywright.never_changes();

ALTER TABLE baywright.word ENABLE ROW LEVEL SECURITY;
CREATE POLICY own_yard ON baywright.word FOR SELECT
    USING (EXISTS (SELECT FROM baywright.login l WHERE l.yard IN (word.yard, '*')));
CREATE POLICY into_own_yard ON baywright.word FOR INSERT
    WITH CHECK (EXISTS (SELECT FROM baywright.login l WHERE l.yard IN (word.yard, '*')));
GRANT SELECT ON baywright.word TO baywright_terminal, baywright_office;
GRANT INSERT ON baywright.word TO baywright_office;

-- How far each terminal is with what the office said to its yard: a word is taken at a start of its console, and
-- the row that says so comes with the next gather.
CREATE VIEW baywright.word_v WITH (security_invoker = true) AS
SELECT n.yard, n.terminal, w.said_up_to, coalesce(t.taken_up_to, 0) AS taken_up_to, w.said_at
FROM baywright.counted_v n
JOIN (SELECT yard, max(number) AS said_up_to, max(at_utc)::timestamptz AS said_at FROM baywright.word
      GROUP BY yard) w USING (yard)
LEFT JOIN (SELECT chain, max((body::json ->> 'number')::integer) AS taken_up_to FROM baywright.ledger_row
           WHERE kind = 'office' GROUP BY chain) t USING (chain);
GRANT SELECT ON baywright.word_v TO baywright_office;
