-- The hub of many sites: the entries of all their logs, checked by the engine itself, whoever sends them.

CREATE SCHEMA hub;

CREATE TABLE hub.this (
    single boolean PRIMARY KEY DEFAULT true CHECK (single),
    form integer NOT NULL,
    born uuid NOT NULL DEFAULT gen_random_uuid());
INSERT INTO hub.this (form) VALUES (1);

CREATE TABLE hub.site (id text COLLATE "C" PRIMARY KEY, name text NOT NULL);
CREATE TABLE hub.member (role name PRIMARY KEY, site text NOT NULL REFERENCES hub.site, person text NOT NULL DEFAULT '');
CREATE TABLE hub.device (id text COLLATE "C" PRIMARY KEY, site text NOT NULL REFERENCES hub.site);

CREATE TABLE hub.entry (
    id text COLLATE "C" PRIMARY KEY,
    device text COLLATE "C" NOT NULL,
    pos bigint NOT NULL,      -- 1, 2, 3 ... as the device's entries came in here: no commit that is late can hide
    job text COLLATE "C" NOT NULL,
    at text COLLATE "C" NOT NULL,
    by text COLLATE "C" NOT NULL,
    kind text COLLATE "C" NOT NULL,
    body text NOT NULL,       -- verbatim: the link covers these very characters, which jsonb would write otherwise
    previous text COLLATE "C" NOT NULL,
    hash text COLLATE "C" NOT NULL,
    aside boolean NOT NULL DEFAULT false, -- follows an entry that another one follows already: of a copied folder
    UNIQUE (device, pos),
    CONSTRAINT "an entry has an id, a job, a device and a kind" CHECK ('' NOT IN (id, job, device, kind)),
    CONSTRAINT "a time is UTC with milliseconds"
        CHECK (at < '9999' AND at ~ '^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$'),
    -- the link is made over the fields with 0x1F between them: one inside a field would let two entries share it
    CONSTRAINT "all but the body is one line" CHECK (id || job || device || at || by || kind !~ '[\x01-\x1f]'));
CREATE INDEX entry_chain ON hub.entry (job, device, pos);
CREATE INDEX entry_job ON hub.entry (job) WHERE kind = 'job';

CREATE TABLE hub.mark (       -- how far a log, or another hub's entries of a device, were read into this hub
    source text COLLATE "C",
    device text COLLATE "C" REFERENCES hub.device,
    number bigint NOT NULL,
    link text NOT NULL,
    PRIMARY KEY (source, device));

CREATE TABLE hub.file (       -- photographs, reports, loggers' files and kept tables, under the names they have in a data folder
    site text COLLATE "C" REFERENCES hub.site,
    name text COLLATE "C",
    content bytea NOT NULL,
    PRIMARY KEY (site, name),
    CONSTRAINT "a file is what its name says" CHECK (CASE
        WHEN name ~ '^photos/[0-9a-f]{2}/[0-9a-f]{64}\.jpg$' THEN substr(name, 11, 64) = encode(sha256(content), 'hex')
        WHEN name ~ '^reports/[0-9a-f]{64}\.pdf$' THEN substr(name, 9, 64) = encode(sha256(content), 'hex')
        WHEN name ~ '^logs/[0-9a-f]{64}\.csv$' THEN substr(name, 6, 64) = encode(sha256(content), 'hex')
        ELSE name ~ '^(photos/[0-9a-f]{2}/[0-9a-f]{64}\.thumb\.jpg|tables/[0-9a-f]{12}-[0-9a-f]{12}\.zip)$' END));
ALTER TABLE hub.file ALTER content SET STORAGE EXTERNAL; -- pressed already
CREATE TABLE hub.lacking (    -- what entries name and nobody has brought yet
    site text COLLATE "C" REFERENCES hub.site,
    name text COLLATE "C",
    PRIMARY KEY (site, name));

-- what stands, stays

CREATE FUNCTION hub.stays() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'What stands in the hub is never changed or removed.'; END $$;
CREATE TRIGGER stays BEFORE UPDATE OR DELETE OR TRUNCATE ON hub.entry EXECUTE FUNCTION hub.stays();
CREATE TRIGGER stays BEFORE UPDATE OR DELETE OR TRUNCATE ON hub.file EXECUTE FUNCTION hub.stays();

CREATE TRIGGER stays BEFORE DELETE OR TRUNCATE ON hub.device EXECUTE FUNCTION hub.stays();

CREATE FUNCTION hub.refuse(entry text[], why text) RETURNS void LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'Job %: the % of % by % (entry %) %. Nothing that came with it was taken.',
        entry[1], entry[2], entry[3], entry[4], entry[5], why;
END $$;

-- A plan is made once in a session, when the hub may still be empty: what is small today is not read whole for ever.
CREATE FUNCTION hub.verified() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER
    SET search_path = hub, pg_catalog, pg_temp
    SET enable_seqscan = off SET enable_hashjoin = off SET enable_mergejoin = off SET jit = off
    SET work_mem = '64MB' AS $$
DECLARE wrong text[]; early boolean;
BEGIN
    PERFORM max(n.at::timestamp) FROM new_rows n; -- the thirteenth month is none
    SELECT ARRAY[n.job, n.kind, n.at, n.by, n.id] INTO wrong FROM new_rows n
     WHERE n.hash <> encode(sha256(convert_to(n.previous || E'\x1f' || n.id || E'\x1f' || n.job || E'\x1f' || n.device
        || E'\x1f' || n.at || E'\x1f' || n.by || E'\x1f' || n.kind || E'\x1f' || n.body, 'UTF8')), 'hex') LIMIT 1;
    IF FOUND THEN PERFORM hub.refuse(wrong, 'was changed after it was written'); END IF;

    -- for all of them at once: a key to another table would be looked up for each
    SELECT ARRAY[n.device] INTO wrong FROM (SELECT DISTINCT s.device FROM new_rows s) n
     WHERE NOT EXISTS (SELECT FROM hub.device d WHERE d.id = n.device) LIMIT 1;
    IF FOUND THEN RAISE EXCEPTION 'Device % belongs to no site of the hub. Nothing that came with it was taken.', wrong[1]; END IF;

    SELECT ARRAY[n.device, min(n.pos)::text] INTO wrong FROM new_rows n GROUP BY n.device
    HAVING max(n.pos) - min(n.pos) + 1 <> count(*) OR min(n.pos) < 1 OR (min(n.pos) > 1
       AND NOT EXISTS (SELECT FROM hub.entry e WHERE e.device = n.device AND e.pos = min(n.pos) - 1)) LIMIT 1;
    IF FOUND THEN
        RAISE EXCEPTION 'The entries of device % have a gap at or after number %. Nothing that came with it was taken.',
            wrong[1], wrong[2];
    END IF;

    SELECT ARRAY[x.job, x.kind, x.at, x.by, x.id], x.at < coalesce(x.before, e.at, '') INTO wrong, early FROM (
        SELECT n.*, lag(n.hash) OVER w AS follows, lag(n.at) OVER w AS before
          FROM new_rows n WHERE NOT n.aside WINDOW w AS (PARTITION BY n.job, n.device ORDER BY n.pos)) x
      LEFT JOIN LATERAL (SELECT e.hash, e.at FROM hub.entry e
         WHERE x.follows IS NULL AND e.job = x.job AND e.device = x.device AND e.pos < x.pos AND NOT e.aside
         ORDER BY e.pos DESC LIMIT 1) e ON true
     WHERE x.previous <> coalesce(x.follows, e.hash, '') OR x.at < coalesce(x.before, e.at, '') LIMIT 1;
    IF FOUND THEN
        PERFORM hub.refuse(wrong, CASE WHEN early THEN 'has a time before that of the entry it follows'
            ELSE 'has lost the entry before it' END);
    END IF;

    SELECT ARRAY[n.job, n.kind, n.at, n.by, n.id] INTO wrong FROM new_rows n
     WHERE n.aside AND NOT EXISTS (SELECT FROM hub.entry e WHERE e.job = n.job AND e.device = n.device
       AND e.pos < n.pos AND CASE WHEN e.aside THEN e.hash ELSE e.previous END = n.previous) LIMIT 1;
    IF FOUND THEN PERFORM hub.refuse(wrong, 'has lost the entry before it'); END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER verified AFTER INSERT ON hub.entry REFERENCING NEW TABLE AS new_rows
    FOR EACH STATEMENT EXECUTE FUNCTION hub.verified();

-- Takes in what a client copied into pg_temp.incoming, its pos the order in which it was sent: what is known is left,
-- what forks is set aside. Gives how many were new, and how many of them stand aside.
CREATE FUNCTION hub.take_in(OUT taken bigint, OUT beside bigint) LANGUAGE plpgsql
    SET enable_seqscan = off SET enable_hashjoin = off SET enable_mergejoin = off SET jit = off
    SET work_mem = '64MB' AS $$
DECLARE known text[]; chain record; one record; ends text;
BEGIN
    -- positions are given in the order in which they are committed: one writer a device
    PERFORM pg_advisory_xact_lock(hashtextextended('hub.entry ' || d.device, 0))
       FROM (SELECT DISTINCT i.device FROM pg_temp.incoming i ORDER BY i.device) d;
    SELECT ARRAY[i.job, i.kind, i.at, i.by, i.id] INTO known FROM pg_temp.incoming i JOIN hub.entry e USING (id)
     WHERE e.hash <> i.hash LIMIT 1;
    IF FOUND THEN PERFORM hub.refuse(known, 'stands in the hub already and says something else'); END IF;
    DELETE FROM pg_temp.incoming i USING hub.entry e WHERE e.id = i.id;

    FOR chain IN SELECT DISTINCT x.job, x.device FROM (
            SELECT i.*, lag(i.hash) OVER (PARTITION BY i.job, i.device ORDER BY i.pos) AS follows
              FROM pg_temp.incoming i) x
         WHERE x.previous <> coalesce(x.follows, hub.chain_end(x.job, x.device))
    LOOP
        ends := hub.chain_end(chain.job, chain.device);
        FOR one IN SELECT i.id, i.previous, i.hash FROM pg_temp.incoming i
             WHERE i.job = chain.job AND i.device = chain.device ORDER BY i.pos
        LOOP
            IF one.previous = ends THEN ends := one.hash;
            ELSE UPDATE pg_temp.incoming i SET aside = true WHERE i.id = one.id;
            END IF;
        END LOOP;
    END LOOP;

    WITH ends AS MATERIALIZED (
        SELECT s.device, coalesce((SELECT max(e.pos) FROM hub.entry e WHERE e.device = s.device), 0) AS pos
          FROM (SELECT DISTINCT i.device FROM pg_temp.incoming i) s)
    INSERT INTO hub.entry (id, device, pos, job, at, by, kind, body, previous, hash, aside)
    SELECT i.id, i.device, s.pos + row_number() OVER (PARTITION BY i.device ORDER BY i.pos),
           i.job, i.at, i.by, i.kind, i.body, i.previous, i.hash, i.aside
      FROM pg_temp.incoming i JOIN ends s USING (device);
    GET DIAGNOSTICS taken = ROW_COUNT;
    SELECT count(*) INTO beside FROM pg_temp.incoming i WHERE i.aside;
END $$;

CREATE FUNCTION hub.chain_end(of_job text, of_device text) RETURNS text LANGUAGE sql STABLE AS $$
    SELECT coalesce((SELECT e.hash FROM hub.entry e WHERE e.job = of_job AND e.device = of_device AND NOT e.aside
                      ORDER BY e.pos DESC LIMIT 1), '') $$;

-- Another one once the hub was restored from a backup, however that was done: what was read off it is read anew.
CREATE FUNCTION hub.epoch() RETURNS text LANGUAGE sql STABLE
    SECURITY DEFINER SET search_path = hub, pg_catalog, pg_temp AS $$
    SELECT t.born || '/' || s.system_identifier || '/' || c.timeline_id || '/' || d.oid
      FROM hub.this t, pg_control_system() s, pg_control_checkpoint() c, pg_database d
     WHERE d.datname = current_database() $$;

-- who may what: a site reads and adds its own, the fleet reads all, a relay carries all; nobody changes anything

DO $$ DECLARE role text;
BEGIN
    FOREACH role IN ARRAY ARRAY['hub_site', 'hub_fleet', 'hub_relay'] LOOP
        IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = role) THEN EXECUTE format('CREATE ROLE %I', role); END IF;
    END LOOP;
END $$;

CREATE FUNCTION hub.my_site() RETURNS text LANGUAGE sql STABLE
    SECURITY DEFINER SET search_path = hub, pg_catalog, pg_temp AS $$
    SELECT m.site FROM hub.member m WHERE m.role = session_user $$;
CREATE FUNCTION hub.my_devices() RETURNS SETOF text LANGUAGE sql STABLE
    SECURITY DEFINER SET search_path = hub, pg_catalog, pg_temp AS $$
    SELECT d.id FROM hub.device d JOIN hub.member m USING (site) WHERE m.role = session_user $$;

CREATE FUNCTION hub.let_in(new_role name, to_site text, called text, whose text DEFAULT '') RETURNS void LANGUAGE plpgsql AS $$
BEGIN
    INSERT INTO hub.site VALUES (to_site, called) ON CONFLICT DO NOTHING;
    INSERT INTO hub.member VALUES (new_role, to_site, whose);
    EXECUTE format('GRANT hub_site TO %I', new_role);
END $$;

GRANT USAGE ON SCHEMA hub TO hub_site, hub_fleet, hub_relay;
GRANT SELECT ON hub.this, hub.site, hub.device, hub.entry, hub.mark, hub.file, hub.lacking TO hub_site, hub_fleet, hub_relay;
GRANT INSERT ON hub.device, hub.entry, hub.mark, hub.file, hub.lacking TO hub_site, hub_relay;
GRANT INSERT ON hub.site TO hub_relay;
GRANT UPDATE ON hub.mark TO hub_site, hub_relay;
GRANT DELETE ON hub.lacking TO hub_site, hub_relay;

-- a list the engine looks each row up in: as a condition of an index it would take the order of the index away
ALTER TABLE hub.device ENABLE ROW LEVEL SECURITY;
ALTER TABLE hub.entry ENABLE ROW LEVEL SECURITY;
ALTER TABLE hub.mark ENABLE ROW LEVEL SECURITY;
ALTER TABLE hub.file ENABLE ROW LEVEL SECURITY;
ALTER TABLE hub.lacking ENABLE ROW LEVEL SECURITY;
CREATE POLICY own ON hub.device TO hub_site USING (site = (SELECT hub.my_site()));
CREATE POLICY own ON hub.entry TO hub_site USING (device IN (SELECT hub.my_devices()));
CREATE POLICY own ON hub.mark TO hub_site USING (device IN (SELECT hub.my_devices()));
CREATE POLICY own ON hub.file TO hub_site USING (site = (SELECT hub.my_site()));
CREATE POLICY own ON hub.lacking TO hub_site USING (site = (SELECT hub.my_site()));
CREATE POLICY every ON hub.device TO hub_fleet, hub_relay USING (true);
CREATE POLICY every ON hub.entry TO hub_fleet, hub_relay USING (true);
CREATE POLICY every ON hub.mark TO hub_fleet, hub_relay USING (true);
CREATE POLICY every ON hub.file TO hub_fleet, hub_relay USING (true);
CREATE POLICY every ON hub.lacking TO hub_fleet, hub_relay USING (true);

-- what the program made of each job, by the job's head and the tables that judged it; made anew whenever either changes

CREATE TABLE hub.judged (
    job text COLLATE "C" PRIMARY KEY,
    head text NOT NULL,
    tables text NOT NULL,
    site text COLLATE "C" NOT NULL REFERENCES hub.site,
    machine text NOT NULL);
CREATE TABLE hub.finding (
    job text COLLATE "C" NOT NULL REFERENCES hub.judged ON DELETE CASCADE,
    "check" text NOT NULL, characteristic text NOT NULL, owner text NOT NULL, source text NOT NULL, verdict text NOT NULL);
CREATE TABLE hub.wear (
    job text COLLATE "C" NOT NULL REFERENCES hub.judged ON DELETE CASCADE,
    "check" text NOT NULL, um numeric NOT NULL, expanded_um numeric NOT NULL, hours numeric, months numeric);
CREATE TABLE hub.defect (
    job text COLLATE "C" NOT NULL REFERENCES hub.judged ON DELETE CASCADE,
    "check" text NOT NULL, kind text NOT NULL);
CREATE TABLE hub.worked (
    job text COLLATE "C" NOT NULL REFERENCES hub.judged ON DELETE CASCADE,
    step text NOT NULL, hours numeric NOT NULL);
CREATE TABLE hub.delivery (
    job text COLLATE "C" NOT NULL REFERENCES hub.judged ON DELETE CASCADE,
    place text NOT NULL, promised date NOT NULL, came date);

CREATE MATERIALIZED VIEW hub.what_wears AS
    SELECT "check", count(*) AS jobs,
           round((percentile_cont(0.5) WITHIN GROUP (ORDER BY um / hours * 1000))::numeric, 1) AS um_in_1000_hours,
           round((percentile_cont(0.5) WITHIN GROUP (ORDER BY um / months))::numeric, 1) AS um_a_month
      FROM hub.wear GROUP BY "check";
CREATE MATERIALIZED VIEW hub.limits_that_bite AS
    SELECT "check", characteristic, owner, source, count(*) AS judged,
           count(*) FILTER (WHERE verdict = 'outside limit') AS outside,
           count(*) FILTER (WHERE verdict = 'too close to limit') AS too_close
      FROM hub.finding WHERE verdict <> 'not measured' GROUP BY 1, 2, 3, 4;
CREATE MATERIALIZED VIEW hub.defects_seen AS
    SELECT kind, "check", machine, count(*) AS defects, count(DISTINCT job) AS jobs
      FROM hub.defect JOIN hub.judged USING (job) GROUP BY 1, 2, 3;
CREATE MATERIALIZED VIEW hub.time_in_steps AS
    SELECT step, count(*) AS jobs,
           round((percentile_cont(0.5) WITHIN GROUP (ORDER BY hours))::numeric, 2) AS half_within_hours,
           round((percentile_cont(0.9) WITHIN GROUP (ORDER BY hours))::numeric, 2) AS nine_of_ten_within_hours
      FROM hub.worked GROUP BY step;
CREATE MATERIALIZED VIEW hub.late_parts AS
    SELECT place, count(*) AS ordered, count(*) FILTER (WHERE coalesce(came, current_date) > promised) AS late,
           coalesce(max(coalesce(came, current_date) - promised) FILTER (WHERE coalesce(came, current_date) > promised), 0)
               AS most_days_late
      FROM hub.delivery GROUP BY place;

CREATE FUNCTION hub.refresh() RETURNS void LANGUAGE plpgsql
    SECURITY DEFINER SET search_path = hub, pg_catalog, pg_temp AS $$
BEGIN
    REFRESH MATERIALIZED VIEW hub.what_wears;
    REFRESH MATERIALIZED VIEW hub.limits_that_bite;
    REFRESH MATERIALIZED VIEW hub.defects_seen;
    REFRESH MATERIALIZED VIEW hub.time_in_steps;
    REFRESH MATERIALIZED VIEW hub.late_parts;
END $$;
REVOKE EXECUTE ON FUNCTION hub.refresh() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION hub.refresh() TO hub_fleet;
GRANT SELECT, INSERT, DELETE ON hub.judged, hub.finding, hub.wear, hub.defect, hub.worked, hub.delivery TO hub_fleet;
GRANT SELECT ON hub.what_wears, hub.limits_that_bite, hub.defects_seen, hub.time_in_steps, hub.late_parts TO hub_fleet;
