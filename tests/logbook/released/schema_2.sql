BEGIN TRANSACTION;
CREATE TABLE "bookmark" (
   "client" TEXT PRIMARY KEY,
   "route" TEXT NOT NULL
);
INSERT INTO "bookmark" VALUES('client','/job/019cad8f-afe8-7000-8000-000000000000');
CREATE TABLE "device" (
   "id" TEXT PRIMARY KEY
);
INSERT INTO "device" VALUES('phone');
CREATE TABLE "entries" (
   "seq" INTEGER PRIMARY KEY,
   "id" TEXT NOT NULL,
   "job" TEXT NOT NULL,
   "device" TEXT NOT NULL,
   "at" TEXT NOT NULL,
   "by" TEXT NOT NULL,
   "kind" TEXT NOT NULL,
   "body" TEXT NOT NULL,
   "previous" TEXT NOT NULL,
   "hash" TEXT NOT NULL
);
INSERT INTO "entries" VALUES(1,'019cad8f-b7b8-7000-8000-000000000000','019cad8f-afe8-7000-8000-000000000000','phone','2026-03-02T08:00:02.000Z','AB','job','{"cylinder":"double-acting","cylinder_hash":"361fc61f7c2c452439dd21ba7cbcdee86fea1288f63b5ec3a0f54339bb4c8278","limits_hash":"bbd93a6025da6a5818c063dc734fa5021543c8fb32a39d08c53e7c4f53c63dd7","name":"J-1","offset":"+00:00","units":"metric"}','','6993d66f2b8a95df0c4ea6d6680bffa9a7618490934f862e37495aaf5752f34f');
INSERT INTO "entries" VALUES(2,'019cad8f-bf88-7000-8000-000000000000','019cad8f-afe8-7000-8000-000000000000','phone','2026-03-02T08:00:04.000Z','AB','nameplate','{"fields":{"bore":{"typed":"100 mm","value":"100"},"rod":{"typed":"70 mm","value":"70"}}}','6993d66f2b8a95df0c4ea6d6680bffa9a7618490934f862e37495aaf5752f34f','53bcdecb2360fed45aa33b31d2f24d3bd5b3db45614b9e05120aa8f1629115ca');
INSERT INTO "entries" VALUES(3,'019cad8f-c758-7000-8000-000000000000','019cad8f-afe8-7000-8000-000000000000','phone','2026-03-02T08:00:06.000Z','AB','decision','{"disposition":"reuse","part":"rod","reason":"looks well"}','53bcdecb2360fed45aa33b31d2f24d3bd5b3db45614b9e05120aa8f1629115ca','0543337d3ac3abfe2438c81f06264a4535d2c00daa2bae37e7032498b6451c3c');
CREATE UNIQUE INDEX "idx_entries_id"
    ON "entries" ("id");
CREATE INDEX "idx_entries_job_device_at"
    ON "entries" ("job", "device", "at");
CREATE TRIGGER entries_stay_as_written BEFORE UPDATE ON entries BEGIN
        SELECT RAISE(ABORT, 'An entry of the log is never changed; append a correction.'); END;
CREATE TRIGGER entries_stay BEFORE DELETE ON entries BEGIN
        SELECT RAISE(ABORT, 'An entry of the log is never removed; append an undo.'); END;
CREATE TRIGGER entries_come_once BEFORE INSERT ON entries
        WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.id)
          OR EXISTS (SELECT 1 FROM entries WHERE seq = NEW.seq) BEGIN
        SELECT RAISE(ABORT, 'This entry is in the log already.'); END;
COMMIT;
PRAGMA user_version = 2;
