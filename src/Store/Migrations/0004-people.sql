-- Who may sign in. The name is a login of the person's choice and no real name; roles: words with a space between.
create table people (
    id $id$ not null primary key,
    roles text not null,
    active bigint not null,
    password_hash text,
    subject $id$ unique,
    stamp text not null,
    failures bigint not null,
    locked_until_us bigint,
    created_us bigint not null
);

-- Whose data a person sees.
create table assignments (
    person $id$ not null,
    athlete $id$ not null,
    primary key (person, athlete)
);

-- One-time links by which a person sets a password; the code is kept as a hash only.
create table links (
    hash $id$ not null primary key,
    person $id$ not null,
    expires_us bigint not null
);

-- Tokens of programs, kept as a hash only; they act for the person that made them, within their scopes.
create table tokens (
    id $id$ not null primary key,
    hash text not null,
    person $id$ not null,
    scopes text not null,
    label text not null,
    created_us bigint not null,
    expires_us bigint not null
);
create index tokens_person on tokens (person, created_us);

-- Consent as it stands now; each change is in the audit trail.
create table consents (
    athlete $id$ not null primary key,
    recording bigint not null,
    display bigint not null,
    given_by text not null,
    entered_us bigint not null,
    entered_by $id$ not null
);

-- Who looked and who changed.
create table audit (
    number bigint not null primary key,
    at_us bigint not null,
    who $id$ not null,
    did $id$ not null,
    athlete $id$,
    detail text
);
create index audit_time on audit (at_us, number);
create index audit_athlete on audit (athlete, number);

-- The only table with names of persons, sealed; and each athlete's key of recordings, sealed.
create table names (
    athlete $id$ not null primary key,
    sealed text not null
);
create table athlete_keys (
    athlete $id$ not null primary key,
    sealed text not null,
    created_us bigint not null
);
