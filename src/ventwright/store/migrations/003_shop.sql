-- A shop: who may sign in, what was handed out to whom, whose jobs are whose, and who did what. Times are texts in UTC.

create table person (
  id text primary key,
  login text not null unique,
  name text not null,
  role text not null,
  password text not null,
  made text not null,
  ended text
);

-- Everything that lets somebody in without a password: sessions, devices, invitations, owners' links. Only the hash of
-- a secret is kept.
create table token (
  id text primary key,
  hash text not null unique,
  kind text not null,
  person text not null,
  about text not null,
  label text not null,
  made text not null,
  made_by text not null,
  ends text not null,
  used text,
  ended text
);

create index token_of_person on token (kind, person);

-- Which technician has which job. The count goes up with every job given or
-- taken: a phone then asks for everything anew.
create table holding (
  job text not null,
  person text not null,
  since text not null,
  made_by text not null,
  primary key (job, person)
);

create index holding_of_person on holding (person);

create table holding_count (
  person text primary key,
  reached bigint not null
);

-- A reviewer's mark that a job was looked at, with the revision that it had.
create table looked (
  id text primary key,
  job text not null,
  revision bigint not null,
  at text not null,
  person text not null,
  remark text not null
);

create index looked_at_job on looked (job, at);

-- Who did what. Nothing in this table is ever altered or deleted.
create table trail (
  id text primary key,
  at text not null,
  person text not null,
  name text not null,
  what text not null,
  job text not null,
  detail text not null,
  address text not null
);

create index trail_in_time on trail (at, id);
create index trail_of_job on trail (job, at);

-- How often something was tried in a stretch of time, by account or address.
create table tries (
  what text not null,
  stretch bigint not null,
  count bigint not null,
  primary key (what, stretch)
);

-- What another program was told of a job: up to which revision, or how often that was tried in vain and when next.
create table told (
  job text primary key,
  revision bigint not null,
  tries bigint not null,
  next text not null
);
