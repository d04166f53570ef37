CREATE TABLE "_sqlite_migrations" (
   "id" INTEGER PRIMARY KEY,
   "migration_set" TEXT,
   "name" TEXT,
   "applied_at" TEXT
) STRICT;
CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"
    ON "_sqlite_migrations" ("migration_set", "name");
CREATE TABLE "setting" (
   "key" TEXT PRIMARY KEY,
   "value" TEXT
, "sum" integer) STRICT;
CREATE TABLE "bin" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "noun" TEXT NOT NULL,
   "row" TEXT NOT NULL,
   "binned_ms" INTEGER NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_bin_uuid"
    ON "bin" ("uuid");
CREATE TABLE "plan" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "style" TEXT NOT NULL,
   "milk_l" REAL NOT NULL,
   "animal" TEXT NOT NULL,
   "treatment" TEXT NOT NULL,
   "milk_c" REAL NOT NULL,
   "protein_fat" REAL,
   "culture_type" TEXT NOT NULL,
   "floc_multiplier" REAL,
   "mould_mm" REAL,
   "yield_pct" REAL NOT NULL,
   "room_c" REAL,
   "room_humidity_pct" REAL,
   "taste_at_days" TEXT NOT NULL,
   "source" TEXT NOT NULL,
   "caution" TEXT NOT NULL,
   "note" TEXT NOT NULL,
   "version" INTEGER NOT NULL,
   "builtin" INTEGER NOT NULL,
   "binned_ms" INTEGER
, "eat_from_days" REAL, taste_notes text not null default '[]', "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_plan_uuid"
    ON "plan" ("uuid");
CREATE INDEX "idx_plan_name_version"
    ON "plan" ("name", "version");
CREATE TABLE "care_rule" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "plan_id" INTEGER NOT NULL REFERENCES "plan"("id"),
   "position" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "from_day" REAL NOT NULL,
   "to_day" REAL NOT NULL,
   "every_days" REAL NOT NULL,
   "note" TEXT NOT NULL,
   "room_c" REAL,
   "room_humidity_pct" REAL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_care_rule_uuid"
    ON "care_rule" ("uuid");
CREATE INDEX "idx_care_rule_plan_id"
    ON "care_rule" ("plan_id");
CREATE TABLE "stage" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "plan_id" INTEGER NOT NULL REFERENCES "plan"("id"),
   "position" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "minutes" REAL NOT NULL,
   "name" TEXT NOT NULL,
   "target_c" REAL,
   "ramp_min" REAL,
   "first_c_per_min" REAL,
   "first_min" REAL,
   "limit_c_per_min" REAL,
   "tolerance_c" REAL,
   "size_mm" REAL,
   "pressure_kpa" REAL,
   "turns" INTEGER NOT NULL,
   "whey_drawn_per_l" REAL NOT NULL,
   "water_added_per_l" REAL NOT NULL,
   "water_c" REAL,
   "brine_pct" REAL,
   "humidity_pct" REAL,
   "alone" INTEGER NOT NULL,
   "instruction" TEXT NOT NULL,
   "until" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_stage_uuid"
    ON "stage" ("uuid");
CREATE INDEX "idx_stage_plan_id"
    ON "stage" ("plan_id");
CREATE TABLE "gate" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "stage_id" INTEGER NOT NULL REFERENCES "stage"("id"),
   "kind" TEXT NOT NULL,
   "low" REAL NOT NULL,
   "high" REAL NOT NULL,
   "from_min" REAL,
   "to_min" REAL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_gate_uuid"
    ON "gate" ("uuid");
CREATE INDEX "idx_gate_stage_id"
    ON "gate" ("stage_id");
CREATE TABLE "dose" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "stage_id" INTEGER NOT NULL REFERENCES "stage"("id"),
   "position" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "per_litre" REAL NOT NULL,
   "unit" TEXT NOT NULL,
   "note" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_dose_uuid"
    ON "dose" ("uuid");
CREATE INDEX "idx_dose_stage_id"
    ON "dose" ("stage_id");
CREATE TABLE "make" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "code" TEXT NOT NULL,
   "plan_id" INTEGER NOT NULL REFERENCES "plan"("id"),
   "milk_litres" REAL NOT NULL,
   "milk_animal" TEXT NOT NULL,
   "milk_treatment" TEXT NOT NULL,
   "milk_source" TEXT NOT NULL,
   "milk_fat_pct" REAL,
   "milk_protein_pct" REAL,
   "milk_homogenised" INTEGER NOT NULL,
   "started_ms" INTEGER NOT NULL,
   "zone" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "finished_ms" INTEGER,
   "failed" INTEGER NOT NULL,
   "culture_lot" TEXT NOT NULL,
   "backslop" INTEGER NOT NULL,
   "whey_drawn_l" REAL,
   "water_added_l" REAL,
   "remark" TEXT NOT NULL,
   "whey_from_make_id" INTEGER REFERENCES "make"("id"),
   "whey_l" REAL,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_make_uuid"
    ON "make" ("uuid");
CREATE INDEX "idx_make_plan_id"
    ON "make" ("plan_id");
CREATE INDEX "idx_make_whey_from_make_id"
    ON "make" ("whey_from_make_id");
CREATE UNIQUE INDEX "idx_make_code"
    ON "make" ("code");
CREATE INDEX "idx_make_started_ms"
    ON "make" ("started_ms");
CREATE TABLE "stage_run" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "position" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "planned_begin_ms" INTEGER NOT NULL,
   "planned_end_ms" INTEGER NOT NULL,
   "began_ms" INTEGER,
   "ended_ms" INTEGER,
   "extra_min" REAL NOT NULL,
   "skipped" INTEGER NOT NULL,
   "again_ms" TEXT NOT NULL,
   "turned_ms" TEXT NOT NULL,
   "reason" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_stage_run_uuid"
    ON "stage_run" ("uuid");
CREATE INDEX "idx_stage_run_make_id"
    ON "stage_run" ("make_id");
CREATE TABLE "entered" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "name" TEXT NOT NULL,
   "value" REAL,
   "text" TEXT NOT NULL,
   "unit" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_entered_uuid"
    ON "entered" ("uuid");
CREATE INDEX "idx_entered_make_id"
    ON "entered" ("make_id");
CREATE TABLE "timer" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "name" TEXT NOT NULL,
   "started_ms" INTEGER NOT NULL,
   "ends_ms" INTEGER,
   "ended_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_timer_uuid"
    ON "timer" ("uuid");
CREATE INDEX "idx_timer_make_id"
    ON "timer" ("make_id");
CREATE TABLE "calibration" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "instrument" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "known" TEXT NOT NULL,
   "shown" TEXT NOT NULL,
   "temp_c" REAL,
   "source" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_calibration_uuid"
    ON "calibration" ("uuid");
CREATE INDEX "idx_calibration_make_id"
    ON "calibration" ("make_id");
CREATE TABLE "tick" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "words" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_tick_uuid"
    ON "tick" ("uuid");
CREATE INDEX "idx_tick_make_id"
    ON "tick" ("make_id");
CREATE TABLE "generation" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "made_ms" INTEGER NOT NULL,
   "number" INTEGER NOT NULL,
   "culture_type" TEXT NOT NULL,
   "parent_id" INTEGER REFERENCES "generation"("id"),
   "from_make_id" INTEGER REFERENCES "make"("id"),
   "origin" TEXT NOT NULL,
   "keep_until_ms" INTEGER,
   "ph" REAL,
   "note" TEXT NOT NULL,
   "gone_ms" INTEGER,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_generation_uuid"
    ON "generation" ("uuid");
CREATE INDEX "idx_generation_parent_id"
    ON "generation" ("parent_id");
CREATE INDEX "idx_generation_from_make_id"
    ON "generation" ("from_make_id");
CREATE TABLE "ingredient" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "kind" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "strength" TEXT NOT NULL,
   "lot" TEXT NOT NULL,
   "expires_ms" INTEGER,
   "amount_left" REAL,
   "unit" TEXT NOT NULL,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_ingredient_uuid"
    ON "ingredient" ("uuid");
CREATE TABLE "addition" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "position" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "amount" REAL NOT NULL,
   "unit" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "ingredient_id" INTEGER REFERENCES "ingredient"("id"),
   "generation_id" INTEGER REFERENCES "generation"("id")
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_addition_uuid"
    ON "addition" ("uuid");
CREATE INDEX "idx_addition_make_id"
    ON "addition" ("make_id");
CREATE INDEX "idx_addition_ingredient_id"
    ON "addition" ("ingredient_id");
CREATE INDEX "idx_addition_generation_id"
    ON "addition" ("generation_id");
CREATE TABLE "trace" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "kind" TEXT NOT NULL,
   "source" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_trace_uuid"
    ON "trace" ("uuid");
CREATE INDEX "idx_trace_make_id"
    ON "trace" ("make_id");
CREATE UNIQUE INDEX "idx_trace_make_id_kind_source"
    ON "trace" ("make_id", "kind", "source");
CREATE TABLE "reading_log" (
   "id" INTEGER PRIMARY KEY,
   "trace_id" INTEGER NOT NULL REFERENCES "trace"("id"),
   "at_ms" INTEGER NOT NULL,
   "value" REAL NOT NULL,
   "flags" INTEGER NOT NULL,
   "kept_ms" INTEGER NOT NULL
, "sum" integer) STRICT;
CREATE INDEX "idx_reading_log_trace_id_at_ms"
    ON "reading_log" ("trace_id", "at_ms");
CREATE TABLE "reading_block" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "trace_id" INTEGER NOT NULL REFERENCES "trace"("id"),
   "first_ms" INTEGER NOT NULL,
   "last_ms" INTEGER NOT NULL,
   "count" INTEGER NOT NULL,
   "low" REAL NOT NULL,
   "high" REAL NOT NULL,
   "coding" TEXT NOT NULL,
   "at" BLOB NOT NULL,
   "value" BLOB NOT NULL,
   "flags" BLOB,
   "outline" BLOB NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_reading_block_uuid"
    ON "reading_block" ("uuid");
CREATE INDEX "idx_reading_block_trace_id"
    ON "reading_block" ("trace_id");
CREATE INDEX "idx_reading_block_trace_id_first_ms_last_ms_count"
    ON "reading_block" ("trace_id", "first_ms", "last_ms", "count");
CREATE TABLE "source" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "kind" TEXT NOT NULL,
   "reading" TEXT NOT NULL,
   "unit" TEXT NOT NULL,
   "settings" TEXT NOT NULL,
   "make_id" INTEGER REFERENCES "make"("id")
, "room_id" integer references "room"("id"), "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_source_uuid"
    ON "source" ("uuid");
CREATE INDEX "idx_source_make_id"
    ON "source" ("make_id");
CREATE TABLE "room" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "target_c" REAL,
   "target_humidity_pct" REAL,
   "binned_ms" INTEGER
, "within_c" REAL, "within_pct" REAL, "holds" INTEGER, shelves text not null default '[]', "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_room_uuid"
    ON "room" ("uuid");
CREATE TABLE "air_reading" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "room_id" INTEGER NOT NULL REFERENCES "room"("id"),
   "at_ms" INTEGER NOT NULL,
   "temp_c" REAL,
   "humidity_pct" REAL
, "source" TEXT NOT NULL DEFAULT '', "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_air_reading_uuid"
    ON "air_reading" ("uuid");
CREATE INDEX "idx_air_reading_room_id"
    ON "air_reading" ("room_id");
CREATE TABLE "wheel" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "code" TEXT NOT NULL,
   "green_weight_kg" REAL,
   "room_id" INTEGER REFERENCES "room"("id"),
   "gone_ms" INTEGER,
   "gone_why" TEXT NOT NULL,
   "remark" TEXT NOT NULL,
   "binned_ms" INTEGER
, "diameter_mm" REAL, "height_mm" REAL, "cut_share" REAL, "place" INTEGER, "shelf" TEXT NOT NULL DEFAULT '', "cut_from_id" integer references "wheel"("id"), "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_wheel_uuid"
    ON "wheel" ("uuid");
CREATE INDEX "idx_wheel_make_id"
    ON "wheel" ("make_id");
CREATE INDEX "idx_wheel_room_id"
    ON "wheel" ("room_id");
CREATE UNIQUE INDEX "idx_wheel_code"
    ON "wheel" ("code");
CREATE TABLE "weighing" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "wheel_id" INTEGER NOT NULL REFERENCES "wheel"("id"),
   "at_ms" INTEGER NOT NULL,
   "weight_kg" REAL NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_weighing_uuid"
    ON "weighing" ("uuid");
CREATE INDEX "idx_weighing_wheel_id"
    ON "weighing" ("wheel_id");
CREATE TABLE "care" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "wheel_id" INTEGER NOT NULL REFERENCES "wheel"("id"),
   "kind" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "note" TEXT NOT NULL
, "room_id" integer references "room"("id"), "from_room_id" integer references "room"("id"), "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_care_uuid"
    ON "care" ("uuid");
CREATE INDEX "idx_care_wheel_id"
    ON "care" ("wheel_id");
CREATE TABLE "note" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "text" TEXT NOT NULL,
   "make_id" INTEGER REFERENCES "make"("id"),
   "wheel_id" INTEGER REFERENCES "wheel"("id"),
   "photo" TEXT NOT NULL
, rim text not null default '[]', "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_note_uuid"
    ON "note" ("uuid");
CREATE INDEX "idx_note_make_id"
    ON "note" ("make_id");
CREATE INDEX "idx_note_wheel_id"
    ON "note" ("wheel_id");
CREATE TABLE "brine" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "litres" REAL NOT NULL,
   "strength_pct" REAL NOT NULL,
   "made_ms" INTEGER NOT NULL,
   "note" TEXT NOT NULL,
   "gone_ms" INTEGER,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_brine_uuid"
    ON "brine" ("uuid");
CREATE TABLE "brine_event" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "brine_id" INTEGER NOT NULL REFERENCES "brine"("id"),
   "at_ms" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "strength_pct" REAL,
   "salt_kg" REAL,
   "litres" REAL,
   "note" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_brine_event_uuid"
    ON "brine_event" ("uuid");
CREATE INDEX "idx_brine_event_brine_id"
    ON "brine_event" ("brine_id");
CREATE TABLE "brine_stay" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "brine_id" INTEGER NOT NULL REFERENCES "brine"("id"),
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "in_ms" INTEGER NOT NULL,
   "wheel_id" INTEGER REFERENCES "wheel"("id"),
   "out_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_brine_stay_uuid"
    ON "brine_stay" ("uuid");
CREATE INDEX "idx_brine_stay_brine_id"
    ON "brine_stay" ("brine_id");
CREATE INDEX "idx_brine_stay_make_id"
    ON "brine_stay" ("make_id");
CREATE INDEX "idx_brine_stay_wheel_id"
    ON "brine_stay" ("wheel_id");
CREATE TABLE "assessor" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_assessor_uuid"
    ON "assessor" ("uuid");
CREATE TABLE "tasting" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "zone" TEXT NOT NULL,
   "note" TEXT NOT NULL,
   "lifted_ms" INTEGER,
   "coding" TEXT NOT NULL,
   "attributes" TEXT NOT NULL,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_tasting_uuid"
    ON "tasting" ("uuid");
CREATE TABLE "sample" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "tasting_id" INTEGER NOT NULL REFERENCES "tasting"("id"),
   "wheel_id" INTEGER REFERENCES "wheel"("id"),
   "blind_code" TEXT NOT NULL,
   "reference" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_sample_uuid"
    ON "sample" ("uuid");
CREATE INDEX "idx_sample_tasting_id"
    ON "sample" ("tasting_id");
CREATE INDEX "idx_sample_wheel_id"
    ON "sample" ("wheel_id");
CREATE TABLE "score" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "sample_id" INTEGER NOT NULL REFERENCES "sample"("id"),
   "assessor_id" INTEGER NOT NULL REFERENCES "assessor"("id"),
   "attribute" TEXT NOT NULL,
   "value" REAL NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_score_uuid"
    ON "score" ("uuid");
CREATE INDEX "idx_score_sample_id"
    ON "score" ("sample_id");
CREATE INDEX "idx_score_assessor_id"
    ON "score" ("assessor_id");
CREATE UNIQUE INDEX "idx_score_sample_id_assessor_id_attribute"
    ON "score" ("sample_id", "assessor_id", "attribute");
CREATE TABLE "defect_mark" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "sample_id" INTEGER NOT NULL REFERENCES "sample"("id"),
   "assessor_id" INTEGER NOT NULL REFERENCES "assessor"("id"),
   "group" TEXT NOT NULL,
   "term" TEXT NOT NULL,
   "strength" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_defect_mark_uuid"
    ON "defect_mark" ("uuid");
CREATE INDEX "idx_defect_mark_sample_id"
    ON "defect_mark" ("sample_id");
CREATE INDEX "idx_defect_mark_assessor_id"
    ON "defect_mark" ("assessor_id");
CREATE TABLE "sample_note" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "sample_id" INTEGER NOT NULL REFERENCES "sample"("id"),
   "assessor_id" INTEGER NOT NULL REFERENCES "assessor"("id"),
   "text" TEXT NOT NULL,
   "photo" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_sample_note_uuid"
    ON "sample_note" ("uuid");
CREATE INDEX "idx_sample_note_sample_id"
    ON "sample_note" ("sample_id");
CREATE INDEX "idx_sample_note_assessor_id"
    ON "sample_note" ("assessor_id");
CREATE TABLE "serving" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "sample_id" INTEGER NOT NULL REFERENCES "sample"("id"),
   "assessor_id" INTEGER NOT NULL REFERENCES "assessor"("id"),
   "position" INTEGER NOT NULL,
   "code" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_serving_uuid"
    ON "serving" ("uuid");
CREATE INDEX "idx_serving_sample_id"
    ON "serving" ("sample_id");
CREATE INDEX "idx_serving_assessor_id"
    ON "serving" ("assessor_id");
CREATE UNIQUE INDEX "idx_serving_sample_id_assessor_id"
    ON "serving" ("sample_id", "assessor_id");
CREATE TABLE "scale_word" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "attribute" TEXT NOT NULL,
   "value" REAL NOT NULL,
   "words" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_scale_word_uuid"
    ON "scale_word" ("uuid");
CREATE TABLE "panel_test" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "zone" TEXT NOT NULL,
   "kind" TEXT NOT NULL,
   "attribute" TEXT NOT NULL,
   "expected" INTEGER,
   "note" TEXT NOT NULL,
   "lifted_ms" INTEGER,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_panel_test_uuid"
    ON "panel_test" ("uuid");
CREATE TABLE "panel_item" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "panel_test_id" INTEGER NOT NULL REFERENCES "panel_test"("id"),
   "number" INTEGER NOT NULL,
   "wheel_id" INTEGER REFERENCES "wheel"("id"),
   "reference" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_panel_item_uuid"
    ON "panel_item" ("uuid");
CREATE INDEX "idx_panel_item_panel_test_id"
    ON "panel_item" ("panel_test_id");
CREATE INDEX "idx_panel_item_wheel_id"
    ON "panel_item" ("wheel_id");
CREATE TABLE "panel_set" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "panel_test_id" INTEGER NOT NULL REFERENCES "panel_test"("id"),
   "number" INTEGER NOT NULL,
   "assessor_id" INTEGER NOT NULL REFERENCES "assessor"("id"),
   "cups" TEXT NOT NULL,
   "codes" TEXT NOT NULL,
   "answer" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_panel_set_uuid"
    ON "panel_set" ("uuid");
CREATE INDEX "idx_panel_set_panel_test_id"
    ON "panel_set" ("panel_test_id");
CREATE INDEX "idx_panel_set_assessor_id"
    ON "panel_set" ("assessor_id");
CREATE TABLE "series" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "name" TEXT NOT NULL,
   "begun_ms" INTEGER NOT NULL,
   "variables" TEXT NOT NULL,
   "low" TEXT NOT NULL,
   "high" TEXT NOT NULL,
   "kind" TEXT NOT NULL,
   "plan_id" INTEGER REFERENCES "plan"("id"),
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_series_uuid"
    ON "series" ("uuid");
CREATE INDEX "idx_series_plan_id"
    ON "series" ("plan_id");
CREATE TABLE "series_make" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "series_id" INTEGER NOT NULL REFERENCES "series"("id"),
   "position" INTEGER NOT NULL,
   "block" INTEGER NOT NULL,
   "wanted" TEXT NOT NULL,
   "make_id" INTEGER REFERENCES "make"("id")
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_series_make_uuid"
    ON "series_make" ("uuid");
CREATE INDEX "idx_series_make_series_id"
    ON "series_make" ("series_id");
CREATE INDEX "idx_series_make_make_id"
    ON "series_make" ("make_id");
CREATE TABLE "act" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "stamp" INTEGER NOT NULL,
   "name" TEXT NOT NULL,
   "by" TEXT NOT NULL,
   "seat" TEXT NOT NULL,
   "kinds" TEXT NOT NULL,
   "makes" TEXT NOT NULL,
   "undoes" INTEGER REFERENCES "act"("id"),
   "undone_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_act_uuid"
    ON "act" ("uuid");
CREATE INDEX "idx_act_undoes"
    ON "act" ("undoes");
CREATE INDEX "idx_act_stamp"
    ON "act" ("stamp");
CREATE TABLE "history" (
   "id" INTEGER PRIMARY KEY,
   "act_id" INTEGER NOT NULL REFERENCES "act"("id"),
   "noun" TEXT NOT NULL,
   "key" INTEGER NOT NULL,
   "row_uuid" TEXT NOT NULL,
   "before" TEXT,
   "after" TEXT
, "sum" integer) STRICT;
CREATE INDEX "idx_history_act_id"
    ON "history" ("act_id");
CREATE INDEX "idx_history_row_uuid_noun_key"
    ON "history" ("row_uuid", "noun", "key");
CREATE INDEX "idx_history_noun_key"
    ON "history" ("noun", "key");
CREATE TABLE "own_care" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER REFERENCES "make"("id"),
   "wheel_id" INTEGER REFERENCES "wheel"("id"),
   "position" INTEGER NOT NULL,
   "kind" TEXT NOT NULL,
   "from_day" REAL NOT NULL,
   "to_day" REAL NOT NULL,
   "every_days" REAL NOT NULL,
   "note" TEXT NOT NULL,
   "room_c" REAL,
   "room_humidity_pct" REAL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_own_care_uuid"
    ON "own_care" ("uuid");
CREATE INDEX "idx_own_care_make_id"
    ON "own_care" ("make_id");
CREATE INDEX "idx_own_care_wheel_id"
    ON "own_care" ("wheel_id");
CREATE INDEX "idx_wheel_cut_from_id"
    ON "wheel" ("cut_from_id");
CREATE TABLE "taken" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "wheel_id" INTEGER NOT NULL REFERENCES "wheel"("id"),
   "kind" TEXT NOT NULL,
   "at_ms" INTEGER NOT NULL,
   "share" REAL,
   "weight_kg" REAL,
   "whom" TEXT NOT NULL,
   "why" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_taken_uuid"
    ON "taken" ("uuid");
CREATE INDEX "idx_taken_wheel_id"
    ON "taken" ("wheel_id");
CREATE INDEX "idx_air_reading_room_id_at_ms"
    ON "air_reading" ("room_id", "at_ms");
CREATE INDEX "idx_source_room_id"
    ON "source" ("room_id");
CREATE TABLE "air_check" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "room_id" INTEGER NOT NULL REFERENCES "room"("id"),
   "at_ms" INTEGER NOT NULL,
   "shown" TEXT NOT NULL,
   "known" TEXT NOT NULL,
   "source" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_air_check_uuid"
    ON "air_check" ("uuid");
CREATE INDEX "idx_air_check_room_id"
    ON "air_check" ("room_id");
CREATE TABLE "away" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "first_day" TEXT NOT NULL,
   "last_day" TEXT NOT NULL,
   "note" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_away_uuid"
    ON "away" ("uuid");
CREATE TABLE "milk_lot" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "farm" TEXT NOT NULL,
   "day_ms" INTEGER NOT NULL,
   "fat_pct" REAL,
   "protein_pct" REAL,
   "ph" REAL,
   "price" REAL,
   "remark" TEXT NOT NULL,
   "binned_ms" INTEGER
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_milk_lot_uuid"
    ON "milk_lot" ("uuid");
CREATE TABLE "milk_use" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "milk_lot_id" INTEGER NOT NULL REFERENCES "milk_lot"("id"),
   "litres" REAL NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_milk_use_uuid"
    ON "milk_use" ("uuid");
CREATE INDEX "idx_milk_use_make_id"
    ON "milk_use" ("make_id");
CREATE INDEX "idx_milk_use_milk_lot_id"
    ON "milk_use" ("milk_lot_id");
CREATE INDEX "idx_care_room_id"
    ON "care" ("room_id");
CREATE INDEX "idx_care_from_room_id"
    ON "care" ("from_room_id");
CREATE TABLE "comparison" (
   "id" INTEGER PRIMARY KEY,
   "uuid" TEXT NOT NULL,
   "make_id" INTEGER NOT NULL REFERENCES "make"("id"),
   "by" TEXT NOT NULL,
   "text" TEXT NOT NULL,
   "makes" TEXT NOT NULL,
   "order" TEXT NOT NULL,
   "time" TEXT NOT NULL,
   "moment" TEXT NOT NULL
, "sum" integer) STRICT;
CREATE UNIQUE INDEX "idx_comparison_uuid"
    ON "comparison" ("uuid");
CREATE INDEX "idx_comparison_make_id"
    ON "comparison" ("make_id");
