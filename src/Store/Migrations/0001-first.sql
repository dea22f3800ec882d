-- One schema for both engines. Types: text, bigint (whole numbers, times in microseconds since 1970 UTC), double precision, JSON as text.
-- $id$ is text that compares by its bytes, so that both engines sort alike.

create table athletes (
    id $id$ not null primary key,
    first_seen_us bigint not null
);

-- One continuous measuring of an athlete: its raw packets are in files, and a crash leaves it open.
create table recordings (
    id $id$ not null primary key,
    athlete $id$ not null,
    opened_us bigint not null,
    closed_us bigint
);
create index recordings_open on recordings (closed_us, athlete);

-- A training as staff see it.
create table sessions (
    id $id$ not null primary key,
    athlete $id$ not null,
    opened_us bigint not null,
    opened_by text not null,
    closed_us bigint,
    closed_by text,
    kind text not null,
    apparatus text,
    notes text,
    exertion double precision,
    minutes double precision
);
create index sessions_athlete on sessions (athlete, opened_us, id);
create index sessions_time on sessions (opened_us, id);

-- What is asked for often; the whole record is in jump_records, so that rows here stay short.
create table jumps (
    id $id$ not null primary key,
    athlete $id$ not null,
    session $id$,
    recording $id$,
    day $id$ not null,
    number bigint not null,
    takeoff_us bigint not null,
    landing_us bigint not null,
    form $id$,
    takeoff_foot $id$,
    landing_foot $id$,
    flight_time_s double precision not null,
    height_m double precision not null,
    turn_flight_deg double precision,
    split_angle_deg double precision,
    shock_trunk_g double precision,
    shock_ankle_left_g double precision,
    shock_ankle_right_g double precision,
    contact_time_s double precision,
    saturated bigint not null,
    grade text not null
);
create index jumps_athlete on jumps (athlete, landing_us, id);
create index jumps_day on jumps (athlete, day, landing_us);
create index jumps_session on jumps (session, landing_us, id);
create index jumps_time on jumps (landing_us, id);

create table jump_records (
    id $id$ not null primary key,
    record text not null
);

create table landings (
    id $id$ not null primary key,
    athlete $id$ not null,
    landing_us bigint not null,
    flight_time_s double precision not null,
    landing_foot $id$
);
create index landings_athlete on landings (athlete, landing_us, id);

create table sensor_events (
    id $id$ not null primary key,
    athlete $id$ not null,
    sensor $id$ not null,
    site $id$ not null,
    kind $id$ not null,
    at_us bigint not null,
    amount bigint not null,
    duration_s double precision
);
create index sensor_events_athlete on sensor_events (athlete, at_us, id);

-- kind: 'plan' or 'return-to-play'; limits: JSON.
create table plans (
    athlete $id$ not null,
    day $id$ not null,
    kind $id$ not null,
    limits text not null,
    entered_us bigint not null,
    entered_by text not null,
    primary key (athlete, day, kind)
);

create table warnings (
    id $id$ not null primary key,
    athlete $id$ not null,
    rule $id$ not null,
    channel $id$ not null,
    priority text not null,
    state $id$ not null,
    active bigint not null,
    raised_us bigint not null,
    changed_us bigint not null,
    shelved_until_us bigint,
    detail text not null
);
create index warnings_active on warnings (active, athlete, raised_us);
create index warnings_athlete on warnings (athlete, raised_us, id);
create index warnings_time on warnings (raised_us, id);

create table warning_changes (
    warning $id$ not null,
    number bigint not null,
    at_us bigint not null,
    state $id$ not null,
    who text,
    why text,
    detail text,
    primary key (warning, number)
);

-- Events that a broker has still to confirm, in the order in which they happened.
create table outbox (
    number bigint not null primary key,
    id $id$ not null unique,
    topic text not null,
    content_type text not null,
    retain bigint not null,
    payload text not null,
    created_us bigint not null
);
create index outbox_created on outbox (created_us);
