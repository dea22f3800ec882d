using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline;

namespace Saltograph.Service;

/// <summary>Everything that the service logs. Ids: 1xxx ingest, 2xxx athletes, 3xxx sinks, 4xxx host, 5xxx what outlives the process, 6xxx access, 7xxx warnings.</summary>
/// <remarks>
/// No line is written per sample or per packet that is right. Athletes appear by pseudonym only. One class: of several, the generator writes the
/// parts in an order that changes from build to build, and the assembly would not be reproducible.
/// </remarks>
internal static partial class Log
{
    [LoggerMessage(1001, LogLevel.Information, "Connected to the broker, session kept: {SessionPresent}")]
    public static partial void BrokerConnected(this ILogger log, bool sessionPresent);

    [LoggerMessage(1002, LogLevel.Warning, "Connection to the broker ended: {Reason}")]
    public static partial void BrokerDisconnected(this ILogger log, string reason);

    [LoggerMessage(1003, LogLevel.Warning, "Broker {Broker} cannot be reached; trying again")]
    public static partial void BrokerUnreachable(this ILogger log, Exception problem, string broker);

    [LoggerMessage(1004, LogLevel.Warning, "Acknowledging ended with the connection: {Reason}; the broker sends the packets again")]
    public static partial void AcknowledgementFailed(this ILogger log, string reason);

    [LoggerMessage(1005, LogLevel.Warning, "Connection {Connection} cut: an MQTT packet announced more than {LimitBytes} bytes")]
    public static partial void PacketTooLarge(this ILogger log, string connection, int limitBytes);

    [LoggerMessage(1006, LogLevel.Warning, "Client {Client} may not publish on {Topic}")]
    public static partial void ForeignTopicRefused(this ILogger log, string client, string topic);

    [LoggerMessage(1007, LogLevel.Warning, "Subscriber {Client} is too slow or away too long: a message on {Topic} was dropped for it")]
    public static partial void SubscriberTooSlow(this ILogger log, string client, string topic);

    [LoggerMessage(1008, LogLevel.Warning, "Time request of sensor {Sensor} cannot be read ({Bytes} bytes)")]
    public static partial void BadClockRequest(this ILogger log, SensorId sensor, long bytes);

    [LoggerMessage(1009, LogLevel.Warning, "State of sensor {Sensor} cannot be read: {Fault}")]
    public static partial void BadSensorState(this ILogger log, SensorId sensor, string fault);

    [LoggerMessage(1010, LogLevel.Information, "Sensor {Sensor} online: {Online}, battery {BatteryPercent} per cent")]
    public static partial void SensorStateChanged(this ILogger log, SensorId sensor, bool online, double? batteryPercent);

    [LoggerMessage(1011, LogLevel.Warning, "Sensor {Sensor} is on nobody in the roster; its packets are counted and dropped")]
    public static partial void UnknownSensor(this ILogger log, SensorId sensor);

    [LoggerMessage(1012, LogLevel.Error, "The broker's publish interceptor failed for {Topic}")]
    public static partial void InterceptorFailed(this ILogger log, Exception problem, string topic);

    [LoggerMessage(1013, LogLevel.Debug, "A message of the moment on {Topic} was lost with the connection: {Reason}")]
    public static partial void MomentLost(this ILogger log, string topic, string reason);

    [LoggerMessage(1014, LogLevel.Information, "The session of absent client {Client} was ended, {Why}; {Waiting} messages waited in it")]
    public static partial void SessionEnded(this ILogger log, string client, string why, long waiting);

    [LoggerMessage(6001, LogLevel.Information, "{Count} accounts may connect to the broker")]
    public static partial void AccountsRead(this ILogger log, int count);

    [LoggerMessage(6002, LogLevel.Error, "The accounts cannot be read, those before stay: {Fault}")]
    public static partial void AccountsNotRead(this ILogger log, string fault);

    [LoggerMessage(6003, LogLevel.Warning, "A connection as {Account} was refused: {Why}")]
    public static partial void ConnectionRefused(this ILogger log, string account, string why);

    [LoggerMessage(6004, LogLevel.Warning, "The account of {Account} was taken away; its connection ends")]
    public static partial void AccountGone(this ILogger log, string account);

    [LoggerMessage(6005, LogLevel.Warning, "{Account} may not subscribe to {Filter}")]
    public static partial void SubscriptionRefused(this ILogger log, string account, string filter);

    [LoggerMessage(2001, LogLevel.Information, "Session of {Athlete} begins")]
    public static partial void SessionBegins(this ILogger log, AthleteId athlete);

    [LoggerMessage(2002, LogLevel.Information, "Session of {Athlete} ends")]
    public static partial void SessionEnds(this ILogger log, AthleteId athlete);

    [LoggerMessage(2003, LogLevel.Error, "Measuring {Athlete} failed; it begins anew with the next packet")]
    public static partial void MeasuringFailed(this ILogger log, Exception problem, AthleteId athlete);

    [LoggerMessage(2004, LogLevel.Warning, "Too many packets wait for {Athlete}; one was refused")]
    public static partial void QueueFull(this ILogger log, AthleteId athlete);

    [LoggerMessage(2005, LogLevel.Critical, "The stream of packets ended with an error")]
    public static partial void StreamFailed(this ILogger log, Exception problem);

    [LoggerMessage(3001, LogLevel.Error, "Sink {Sink} failed; it is given the next fact all the same")]
    public static partial void SinkFailed(this ILogger log, Exception problem, string sink);

    [LoggerMessage(3002, LogLevel.Warning, "Sink {Sink} is too slow; a fact was not given to it")]
    public static partial void SinkTooSlow(this ILogger log, string sink);

    [LoggerMessage(3003, LogLevel.Warning, "Publishing on {Topic} did not work ({Reason}); trying again")]
    public static partial void PublishAgain(this ILogger log, string topic, string reason);

    [LoggerMessage(3004, LogLevel.Error, "The broker refused a message on {Topic}: {Reason}")]
    public static partial void PublishRefused(this ILogger log, string topic, string reason);

    [LoggerMessage(3005, LogLevel.Error, "Stopped with {Count} messages not sent")]
    public static partial void EventsLeftUnsent(this ILogger log, int count);

    [LoggerMessage(3006, LogLevel.Information, "Jump {Number} of {Athlete}: flight {FlightTimeS} s, height {HeightM} m, grade {Grade}, event {EventId}")]
    public static partial void JumpMeasured(
        this ILogger log, int number, AthleteId athlete, double flightTimeS, double heightM, string grade, string eventId);

    [LoggerMessage(EventId = 3007, Message = "Sensor {Sensor} of {Athlete} at {Site}: {Fact}, count {Count}, {DurationS} s")]
    public static partial void SensorFact(
        this ILogger log, LogLevel level, SensorId sensor, AthleteId athlete, Site site, SensorFactKind fact, long count, double? durationS);

    [LoggerMessage(3008, LogLevel.Warning, "Sensor {Sensor} of {Athlete}: message number {Count} that is no packet, {Reason}: {Message}")]
    public static partial void PacketRejected(
        this ILogger log, SensorId sensor, AthleteId athlete, string reason, string message, long count);

    [LoggerMessage(
        3009,
        LogLevel.Information,
        "Session of {Athlete}, sensor {Sensor}: {Accepted} packets taken, {Lost} lost, {Late} late, {Duplicates} twice, {StaleBoots} of an earlier power-up, {Contradictory} contradictory, {Rejected} no packets; {Boots} power-ups")]
    public static partial void SensorCounted(
        this ILogger log, AthleteId athlete, SensorId sensor, long accepted, long lost, long late, long duplicates, long staleBoots,
        long contradictory, long rejected, long boots);

    [LoggerMessage(3010, LogLevel.Information, "Session of {Athlete}: {Count} falls of the trunk's velocity were no jumps, {Why}")]
    public static partial void FlightsRefused(this ILogger log, AthleteId athlete, int count, FlightRefusal why);

    [LoggerMessage(2006, LogLevel.Information, "Session of {Athlete} measured again from its recording: {Packets} packets; goes on: {GoesOn}")]
    public static partial void SessionMeasuredAgain(this ILogger log, AthleteId athlete, int packets, bool goesOn);

    [LoggerMessage(5001, LogLevel.Error, "Cannot write to {What}; trying again, and nothing more is acknowledged until it works")]
    public static partial void CannotWrite(this ILogger log, Exception problem, string what);

    [LoggerMessage(5002, LogLevel.Warning, "{File} is torn behind {GoodBytes} bytes; {TornBytes} bytes that were never acknowledged are left out")]
    public static partial void TornTail(this ILogger log, string file, long goodBytes, long tornBytes);

    [LoggerMessage(5003, LogLevel.Information, "{What} can be written again")]
    public static partial void CanWriteAgain(this ILogger log, string what);

    [LoggerMessage(5004, LogLevel.Information, "{Count} recording files older than {Days} days were deleted")]
    public static partial void RecordingsDeleted(this ILogger log, int count, double days);

    [LoggerMessage(5005, LogLevel.Warning, "Old recordings could not be deleted")]
    public static partial void RecordingsNotDeleted(this ILogger log, Exception problem);

    [LoggerMessage(5006, LogLevel.Information, "{Count} events were sent again to subscriber {Client}, whose session had died with the process before")]
    public static partial void EventsSentAgain(this ILogger log, int count, string client);

    [LoggerMessage(5007, LogLevel.Error, "Events could not be sent again to subscriber {Client}")]
    public static partial void EventsNotSentAgain(this ILogger log, Exception problem, string client);

    [LoggerMessage(5012, LogLevel.Information, "{Rows} rows were older than their kind may be and were deleted")]
    public static partial void RowsDeleted(this ILogger log, long rows);

    [LoggerMessage(5013, LogLevel.Warning, "Rows that are too old cannot be deleted; trying again in an hour")]
    public static partial void RowsNotDeleted(this ILogger log, Exception problem);

    [LoggerMessage(7001, LogLevel.Information, "Warning {Warning}: {Before} to {After}, {Cause}")]
    public static partial void WarningChanged(this ILogger log, string warning, string before, string after, string cause);

    [LoggerMessage(7002, LogLevel.Error, "The plan of {Athlete} for {Day} cannot be used: {Fault}")]
    public static partial void PlanNotRead(this ILogger log, string athlete, string day, string fault);

    [LoggerMessage(4006, LogLevel.Warning, "The floor keeps the plans and warnings that it knows: the store does not answer")]
    public static partial void FloorNotRefreshed(this ILogger log, Exception problem);

    [LoggerMessage(7003, LogLevel.Warning, "Telling {EventId} by {Way} did not work, attempt {Attempt}: {Reason}")]
    public static partial void TellingFailed(this ILogger log, string way, string eventId, int attempt, string reason);

    [LoggerMessage(7004, LogLevel.Error, "{EventId} could not be told by {Way}; it is in {File}")]
    public static partial void NotTold(this ILogger log, string way, string eventId, string file);

    [LoggerMessage(7005, LogLevel.Error, "Cannot write to {File}, the file of what could not be told")]
    public static partial void NotToldFileFailed(this ILogger log, Exception problem, string file);

    [LoggerMessage(4001, LogLevel.Information, "Hall {Hall} is measured: {Athletes} athletes, {Sensors} sensors")]
    public static partial void HallStarted(this ILogger log, string hall, int athletes, int sensors);

    [LoggerMessage(4005, LogLevel.Information, "Listening: HTTP on port {HttpPort}, MQTT on port {MqttPort}")]
    public static partial void HallListens(this ILogger log, int httpPort, int? mqttPort);

    [LoggerMessage(4002, LogLevel.Information, "Stopping: no more packets are taken, what is in the queues is finished")]
    public static partial void Draining(this ILogger log);

    [LoggerMessage(4003, LogLevel.Information, "Stopped: everything that was taken has been measured and published")]
    public static partial void Drained(this ILogger log);

    [LoggerMessage(4004, LogLevel.Error, "Stopped before everything was finished: the time of {LimitS} s is over")]
    public static partial void DrainCut(this ILogger log, double limitS);

    // Of people: by the name they sign in with, never with a code, a password or a token.
    [LoggerMessage(6101, LogLevel.Information, "{Person} signed in by {Means}")]
    public static partial void SignedIn(this ILogger log, string person, string means);

    [LoggerMessage(6102, LogLevel.Warning, "Signing in as {Person} was refused: {Why}")]
    public static partial void SignInRefused(this ILogger log, string person, string why);

    [LoggerMessage(6103, LogLevel.Information, "{Person} signed out")]
    public static partial void SignedOut(this ILogger log, string person);

    [LoggerMessage(6104, LogLevel.Warning, "A token was refused: {Why}")]
    public static partial void TokenRefused(this ILogger log, string why);

    [LoggerMessage(6105, LogLevel.Warning, "{Person} may not {Route}")]
    public static partial void AccessRefused(this ILogger log, string person, string route);

    [LoggerMessage(6106, LogLevel.Warning, "A request from another site was refused: {Route}")]
    public static partial void ForeignSiteRefused(this ILogger log, string route);

    [LoggerMessage(6107, LogLevel.Warning, "Nobody can sign in yet: the one-time link is in {File}")]
    public static partial void LinkWritten(this ILogger log, string file);

    [LoggerMessage(6108, LogLevel.Information, "{Person} set a password")]
    public static partial void PasswordSet(this ILogger log, string person);

    [LoggerMessage(6109, LogLevel.Warning, "Too many requests: {Route}")]
    public static partial void TooManyRequests(this ILogger log, string route);

    [LoggerMessage(6110, LogLevel.Warning, "Everybody who reaches the HTTP port may look and change (people.anonymous)")]
    public static partial void EverybodyMayLook(this ILogger log);
}
